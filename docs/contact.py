"""Draws every template with every sample and market it suits, one sheet a template, for looking at.

Run from the project's folder after `cargo build --release`; needs poppler-utils and Pillow:
    python3 docs/contact.py FOLDER [TEMPLATE ...]
Prints which labels do not fit, with the program's own words. `python3 docs/contact.py --keep` writes the few sheets kept in
docs/ (docs/contact-*.png). WAXBILL names another program than target/release/waxbill.
"""
import json, os, pathlib, re, shutil, subprocess, sys, tempfile
from PIL import Image, ImageDraw, ImageFont

PROGRAM = pathlib.Path(os.environ.get("WAXBILL", "target/release/waxbill")).resolve()
SAMPLES = pathlib.Path("samples/quillmere").resolve()
KEPT = {"jar-full-wrap": ["low-tide", "sea-thrift"], "jar-fold-out": ["sea-thrift"], "hang-tag": ["night-heron", "curlew"],
        "box-sleeve": ["mudflat"], "melt-clamshell": ["samphire"], "tin-lid-and-base": ["salt-lamp"]}
GROUND, CELL, WIDE = (214, 205, 190), 14, 2400


def value(text, key):
    found = re.search(rf"^{key}: *(.*?) *(#.*)?$", text, re.M)
    return found.group(1) if found else ""


def markets(text):
    return re.findall(r"\b(us|ca-qc|ca|gb|ni|eu)\b", value(text, "markets")) or ["us"]


def corners(template, part, faces):
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
        radius, hole = corners(template, part, None)
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


def rows(name, dpi, only=None):
    """A title and the pictures of each label of this template; titles without pictures where it does not fit."""
    template = pathlib.Path(f"templates/{name}.yaml").read_text()
    suits = re.search(r"^suits: \[(.*)\]", template, re.M).group(1).split(", ")
    for product in sorted(SAMPLES.glob("products/*.yaml")):
        text = product.read_text()
        if value(text, "kind") not in suits or (only and product.stem not in only):
            continue
        with tempfile.TemporaryDirectory() as folder:
            shop = pathlib.Path(folder, "shop")
            shutil.copytree(SAMPLES, shop)
            copy = shop / "products" / product.name
            copy.write_text(re.sub(r"template: [a-z-]+", f"template: {name}", text))
            for market in markets(text):
                title, pdf = f"{product.stem} · {market}", pathlib.Path(folder, f"{market}.pdf")
                run = subprocess.run([PROGRAM, "label", copy, "--market", market, "--lot", "26329A4", "--on", "2026-11-25",
                                      "--json", "-o", pdf], capture_output=True, text=True)
                if run.returncode:
                    told = [l for l in (run.stdout + run.stderr).splitlines() if "cannot" in l or "error" in l]
                    print(f"{name}: {title}: does not fit: {' '.join(told)[:400]}")
                    yield f"{title}: does not fit", []
                else:
                    parts = [p["part"] for p in json.loads(run.stdout)["parts"]]
                    yield title, pictures(pdf, parts, template, dpi)


def sheet(name, target, dpi, only=None):
    lines, y, x, high = [], 40, CELL, 0
    font = ImageFont.load_default(20)
    for title, images in rows(name, dpi, only):
        width = max(sum(i.width + CELL for i in images), 240)
        if x > CELL and x + width > WIDE:
            x, y, high = CELL, y + high + 3 * CELL, 0
        lines.append((x, y, title, images))
        high = max([high, *(i.height + 30 for i in images), 30])
        x += width + 2 * CELL
    right = max(x + max(sum(i.width + CELL for i in images), 240) for x, _, _, images in lines) + CELL
    whole = Image.new("RGB", (right, y + high + CELL), GROUND)
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
            sheet(name, f"docs/contact-{name}.png", 90, only)
    elif len(sys.argv) > 1:
        folder = pathlib.Path(sys.argv[1])
        folder.mkdir(parents=True, exist_ok=True)
        for name in sys.argv[2:] or sorted(p.stem for p in pathlib.Path("templates").glob("*.yaml")):
            sheet(name, folder / f"{name}.png", 150)
    else:
        sys.exit(__doc__)
