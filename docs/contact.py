"""Draws every template with every sample in every market, one sheet a template, for looking at.

Run from the project's folder after a build; needs poppler-utils and Pillow:
    python3 docs/contact.py FOLDER [TEMPLATE ...]
Each combination goes through the program as a maker would run it, in a copy of the sample workshop. What is refused is listed
with the program's own words in FOLDER/refused.txt, and every answer is held against the table in docs/templates.md.
`python3 docs/contact.py --keep` writes the few sheets kept in docs/ (docs/contact-*.png).
WAXBILL names another program than target/release/waxbill.
"""
import concurrent.futures, json, os, pathlib, re, shutil, subprocess, sys, tempfile
from PIL import Image, ImageDraw, ImageFont

PROGRAM = pathlib.Path(os.environ.get("WAXBILL", "target/release/waxbill")).resolve()
SAMPLES = pathlib.Path("samples/quillmere").resolve()
TABLE = pathlib.Path("docs/templates.md")
# How a column of the table is called, how the file names the market, and what `--market` takes.
MARKETS = {"us": "us", "ca": "ca", "ca-qc": "ca-qc", "gb": "gb", "ni": "ni",
           "eu: ie": "{eu: [ie]}", "eu: fr": "{eu: [fr]}", "eu: ie, fr": "{eu: [ie, fr]}"}
KEPT = {"jar-full-wrap": ["low-tide · us", "sea-thrift · gb"], "jar-fold-out": ["sea-thrift · eu: ie"],
        "hang-tag": ["night-heron · us", "curlew · eu: fr"], "box-sleeve": ["mudflat · us"], "melt-clamshell": ["samphire · gb"],
        "tin-lid-and-base": ["salt-lamp · us"], "jar-two-languages": ["tidewrack · ca"], "tin-two-languages": ["plover · ca"]}
# What a sample lacks to go to every market is filled in, so that only the template decides: French words and a formula number.
FRENCH = {"Scented candle": "Bougie parfumée", "Pillar candle": "Bougie pilier", "Scented tea lights": "Bougies chauffe-plat parfumées",
          "Beeswax taper candles": "Chandelles de cire d’abeille", "Tea lights": "Bougies chauffe-plat",
          "Scented wax melts": "Fondants de cire parfumés"}
UFI = "ufi: {country: IE, vat: 9Z54321Y, formulation: 9}\n"
GROUND, CELL, WIDE = (214, 205, 190), 14, 2400


def value(text, key):
    found = re.search(rf"^{key}: *(.*?) *(#.*)?$", text, re.M)
    return found.group(1) if found else ""


def suits(template):
    return re.search(r"^suits: \[(.*)\]", template, re.M).group(1).split(", ")


def corners(template, part):
    """Radius in mm of the corners of a part, and its hole, as the template says."""
    block = re.search(rf"- part: {part}\b[^\n]*\n(.*?)(?=\n  - part:|\Z)", template, re.S).group(1)
    if "circle:" in block:
        return -1, None
    corner = re.search(r"corner: ([\d.]+) mm", block)
    hole = re.search(r"hole: \{diameter: ([\d.]+) mm, from top: ([\d.]+) mm", block)
    return float(corner.group(1)) if corner else 0, tuple(map(float, hole.groups())) if hole else None


def pictures(pdf, parts, template, dpi):
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["pdftoppm", "-r", str(2 * dpi), "-png", pdf, f"{folder}/page"], check=True)
        pages = [Image.open(p).convert("RGB") for p in sorted(pathlib.Path(folder).glob("page*.png"))]
    made = []
    for page, part in zip(pages, parts):
        radius, hole = corners(template, part)
        mask = Image.new("L", page.size, 0)
        draw = ImageDraw.Draw(mask)
        mm = 2 * dpi / 25.4
        draw.rounded_rectangle([0, 0, page.width - 1, page.height - 1], min(page.size) // 2 if radius < 0 else radius * mm, fill=255)
        if hole:
            r, y, x = hole[0] / 2 * mm, hole[1] * mm, page.width / 2
            draw.ellipse([x - r, y - r, x + r, y + r], fill=0)
        sheet = Image.new("RGB", page.size, GROUND)
        sheet.paste(page, (0, 0), mask)
        made.append(sheet.resize((page.width // 2, page.height // 2), Image.LANCZOS))
    return made


def label(product, market, name, template, dpi):
    """Pictures of the parts, or the program's words where it refuses."""
    with tempfile.TemporaryDirectory() as folder:
        shop, pdf = pathlib.Path(folder, "shop"), pathlib.Path(folder, "label.pdf")
        shutil.copytree(SAMPLES, shop)
        copy = shop / "products" / product.name
        text = re.sub(r"^markets: .*\n", "", product.read_text(), flags=re.M)
        text = re.sub(r"^(kind: .*)$", rf"\1\nmarkets: [{MARKETS[market]}]", text, count=1, flags=re.M)
        text = re.sub(r"^identity: ([^{\n]*)$", lambda m: f"identity: {{en: {m[1]}, fr: {FRENCH[m[1]]}}}", text, flags=re.M)
        text = text if "\nufi:" in text else text.replace("\nlabel:", f"\n{UFI}label:")
        copy.write_text(re.sub(r"template: [a-z-]+", f"template: {name}", text))
        run = subprocess.run([PROGRAM, "label", copy, "--market", market.split(":")[0], "--lot", "26329A4", "--on", "2026-11-25",
                              "--json", "-o", pdf], capture_output=True, text=True)
        if run.returncode > 1:
            sys.exit(f"{name}: {product.stem} · {market}: {run.stdout}{run.stderr}")
        answer = json.loads(run.stdout)
        errors = [f for f in answer["findings"] if f["level"] == "error"]
        if not pdf.exists():
            return [], [f"{f['id']}: {f['message']}" + (f" [{f['cure']}]" if f.get("cure") else "") for f in errors]
        return pictures(pdf, [p["part"] for p in answer["parts"]], template, dpi) if dpi else [], []


def table():
    """What docs/templates.md says: template, sample, market -> whether it fits."""
    said, name, heads = {}, None, []
    for line in TABLE.read_text().splitlines() if TABLE.exists() else []:
        if found := re.match(r"### `(.*)`", line):
            name = found.group(1)
        cells = [c.strip() for c in line.strip("|").split("|")]
        if line.startswith("| Sample"):
            heads = cells[1:]
        elif line.startswith("| `") and name:
            said |= {(name, cells[0].strip("`"), head): cell == "fits" for head, cell in zip(heads, cells[1:])}
    return said


def rows(name, dpi, only=None):
    template = pathlib.Path(f"templates/{name}.yaml").read_text()
    tasks = []
    for product in sorted(SAMPLES.glob("products/*.yaml")):
        if value(product.read_text(), "kind") in suits(template):
            tasks += [(f"{product.stem} · {m}", product, m) for m in MARKETS if not only or f"{product.stem} · {m}" in only]
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        return list(pool.map(lambda t: (t[0], *label(t[1], t[2], name, template, dpi)), tasks))


def sheet(name, target, drawn):
    lines, y, x, high, right = [], 40, CELL, 0, 0
    font = ImageFont.load_default(20)
    for title, images, _ in drawn:
        if not images:
            continue
        width = max(sum(i.width + CELL for i in images), 240)
        if x > CELL and x + width > WIDE:
            x, y, high = CELL, y + high + 3 * CELL, 0
        lines.append((x, y, title, images))
        high = max([high, *(i.height + 30 for i in images)])
        x += width + 2 * CELL
        right = max(right, x)
    whole = Image.new("RGB", (right or 400, y + high + CELL), GROUND)
    draw = ImageDraw.Draw(whole)
    draw.text((CELL, 8), name, font=font, fill=(60, 40, 20))
    for x, y, title, images in lines:
        draw.text((x, y), title, font=font, fill=(60, 40, 20))
        for image in images:
            whole.paste(image, (x, y + 28))
            x += image.width + CELL
    whole.quantize(32).save(target, optimize=True)


if __name__ == "__main__":
    if sys.argv[1:] == ["--keep"]:
        for name, only in KEPT.items():
            sheet(name, f"docs/contact-{name}.png", rows(name, 90, only))
    elif len(sys.argv) > 1:
        folder = pathlib.Path(sys.argv[1])
        folder.mkdir(parents=True, exist_ok=True)
        said, refused, fitting, unlike = table(), [], 0, 0
        for name in sys.argv[2:] or sorted(p.stem for p in pathlib.Path("templates").glob("*.yaml")):
            drawn = rows(name, 110)
            sheet(name, folder / f"{name}.png", drawn)
            for title, images, errors in drawn:
                fitting += not errors
                refused += [f"{name}: {title}: {' | '.join(errors)}"] if errors else []
                if said and said.get((name, *title.split(" · "))) != (not errors):
                    unlike += 1
                    print(f"{name}: {title}: docs/templates.md says otherwise")
        (folder / "refused.txt").write_text("\n".join(refused) + "\n")
        print(f"{fitting} fit, {len(refused)} are refused (refused.txt), {unlike} unlike docs/templates.md")
    else:
        sys.exit(__doc__)
