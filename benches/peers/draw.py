"""Numbered labels on A4 sheets, drawn by general tools from the placed page that `waxbill label --show page` prints.

    draw.py TOOL PAGES.json OUT.pdf LOT UNITS      TOOL: cairo, reportlab, typst

The same work as the bare writer of ../bare: what all labels have alike once (where the tool can), for each the line with its code
and a QR code. Codes come from libqrencode, the fastest maker of them at hand for a script. None of them kerns or reads back.
"""
import ctypes, json, os, re, sys, tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
FONTS = os.path.join(HERE, "..", "..", "fonts")
FACES = {"normal": "SemiCondensed", "normal-bold": "SemiCondensedBold", "tight": "Condensed", "tight-bold": "CondensedBold",
         "tightest": "ExtraCondensed", "tightest-bold": "ExtraCondensedBold"}
PT = 72 / 25.4
WIDTH, HEIGHT = 210.0, 297.0


def mm(text):
    return float(text.removesuffix("mm"))


def face(name):
    return os.path.join(FONTS, "NotoSans-%s.ttf" % FACES[name])


class Symbol(ctypes.Structure):
    _fields_ = [("version", ctypes.c_int), ("width", ctypes.c_int), ("data", ctypes.c_void_p)]


LIB = ctypes.CDLL("libqrencode.so.4")
LIB.QRcode_encodeString8bit.restype = ctypes.POINTER(Symbol)
LIB.QRcode_encodeString8bit.argtypes = [ctypes.c_char_p, ctypes.c_int, ctypes.c_int]
LIB.QRcode_free.argtypes = [ctypes.POINTER(Symbol)]
LOW_BIT, DARK = bytes(b & 1 for b in range(256)), re.compile(b"\x01+")


def runs(payload):
    """(column, row, length) of the dark runs of a code of level M."""
    symbol = LIB.QRcode_encodeString8bit(payload.encode(), 0, 1)
    side = symbol.contents.width
    cells = ctypes.string_at(symbol.contents.data, side * side).translate(LOW_BIT)
    LIB.QRcode_free(symbol)
    return [(m.start(), row, m.end() - m.start()) for row in range(side)
            for m in DARK.finditer(cells[row * side:(row + 1) * side])]


def ink(paint):
    kind, what = next(iter(paint.items()))
    colour, width = (what, None) if not isinstance(what, list) else (what[0], mm(what[1]))
    if isinstance(colour, dict):
        grey = 1 - colour["grey"] / 100
        return kind, (grey, grey, grey), width
    return kind, {"white": (1, 1, 1), "red": (1, 0, 0)}.get(colour, (0, 0, 0)), width


def steps(rings):
    """The path as ("move" | "line" | "curve" | "close", coordinates in mm)."""
    for ring in rings:
        yield "move", (mm(ring["start"]["x"]), mm(ring["start"]["y"]))
        for step in ring["to"]:
            kind, points = next(iter(step.items()))
            points = points if isinstance(points, list) else [points]
            yield kind, tuple(mm(p[axis]) for p in points for axis in "xy")
        if ring["closed"]:
            yield "close", ()


def label(pages, lot):
    """The page that carries the code, parted: what stays alike, the line with the code, the code's corner and module."""
    page = next(p for p in pages if any(lot in i["text"]["text"] for i in p["items"] if "text" in i))
    most = max(len(i["path"]["rings"]) for i in page["items"] if "path" in i)
    alike, line, square = [], None, None
    for item in page["items"]:
        if "text" in item and lot in item["text"]["text"]:
            line = item["text"]
        elif "path" in item and len(item["path"]["rings"]) == most:
            ring = item["path"]["rings"][0]
            start = mm(ring["start"]["x"]), mm(ring["start"]["y"])
            square = (*start, mm(ring["to"][1]["line"]["y"]) - start[1])
        else:
            alike.append(item)
    return page, alike, line, square


def places(units):
    for unit in range(units):
        yield unit // 8, 31.0 + 80.0 * (unit % 2), 6.5 + 72.0 * (unit % 8 // 2)


def names(lot, units):
    figures = max(len(str(units)), 3)
    return ["%s-%0*d" % (lot, figures, unit + 1) for unit in range(units)]


def payload(serial):
    return "Lot %s, Low Tide, Quillmere Candle Shed" % serial


def by_cairo(page, alike, line, square, lot, units, out):
    with tempfile.NamedTemporaryFile("w", suffix=".conf", delete=False) as config:
        config.write("<fontconfig><dir>%s</dir><cachedir>%s</cachedir></fontconfig>" % (
            os.path.realpath(FONTS), os.path.join(tempfile.gettempdir(), "label-fonts")))
    os.environ["FONTCONFIG_FILE"] = config.name
    import cairo
    surface = cairo.PDFSurface(out, WIDTH * PT, HEIGHT * PT)
    c = cairo.Context(surface)
    c.scale(PT, PT)
    faces = cairo_faces(cairo)

    def text(t, words):
        c.set_font_face(faces(t["face"]))
        c.set_font_size(mm(t["size"]))
        c.move_to(mm(t["x"]), mm(t["baseline"]))
        c.show_text(words)

    def draw():
        for item in alike:
            if "text" in item:
                c.set_source_rgb(0, 0, 0)
                text(item["text"], item["text"]["text"])
                continue
            kind, colour, width = ink(item["path"]["paint"])
            c.new_path()
            for step, at in steps(item["path"]["rings"]):
                {"move": c.move_to, "line": c.line_to, "curve": c.curve_to, "close": c.close_path}[step](*at)
            c.set_source_rgb(*colour)
            c.set_fill_rule(cairo.FILL_RULE_EVEN_ODD if kind == "fill-even-odd" else cairo.FILL_RULE_WINDING)
            if width is None:
                c.fill()
            else:
                c.set_line_width(width)
                c.stroke()
        c.set_source_rgb(0, 0, 0)
        c.set_fill_rule(cairo.FILL_RULE_WINDING)

    last = 0
    for (sheet, x, y), serial in zip(places(units), names(lot, units)):
        if sheet != last:
            c.show_page()
            last = sheet
        c.save()
        c.translate(x, y)
        draw()
        text(line, line["text"].replace(lot, serial))
        left, top, side = square
        for column, row, length in runs(payload(serial)):
            c.rectangle(left + column * side, top + row * side, length * side, side)
        c.fill()
        c.restore()
    c.show_page()
    surface.finish()
    os.remove(config.name)


def cairo_faces(cairo):
    """Faces by family; fontconfig was told of this repository's folder alone."""
    kept = {}

    def of(name):
        if name not in kept:
            style = FACES[name]
            weight = cairo.FONT_WEIGHT_BOLD if style.endswith("Bold") else cairo.FONT_WEIGHT_NORMAL
            kept[name] = cairo.ToyFontFace("Noto Sans " + style.removesuffix("Bold"), cairo.FONT_SLANT_NORMAL, weight)
        return kept[name]
    return of


def by_reportlab(page, alike, line, square, lot, units, out):
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen import canvas
    for name in {i["text"]["face"] for i in alike if "text" in i} | {line["face"]}:
        pdfmetrics.registerFont(TTFont(name, face(name)))
    c = canvas.Canvas(out, pagesize=(WIDTH * PT, HEIGHT * PT), pageCompression=1, initialFontName=line["face"])
    high = mm(page["trim"]["circle"]["diameter"])

    def text(t, words):
        c.setFont(t["face"], mm(t["size"]) * PT)
        c.drawString(mm(t["x"]) * PT, (high - mm(t["baseline"])) * PT, words)

    c.beginForm("alike", 0, 0, high * PT, high * PT)
    for item in alike:
        if "text" in item:
            c.setFillColorRGB(0, 0, 0)
            text(item["text"], item["text"]["text"])
            continue
        kind, colour, width = ink(item["path"]["paint"])
        path = c.beginPath()
        for step, at in steps(item["path"]["rings"]):
            at = [v * PT if n % 2 == 0 else (high - v) * PT for n, v in enumerate(at)]
            {"move": path.moveTo, "line": path.lineTo, "curve": path.curveTo, "close": path.close}[step](*at)
        if width is not None:
            c.setLineWidth(width * PT)
            c.setStrokeColorRGB(*colour)
        else:
            c.setFillColorRGB(*colour)
        c.drawPath(path, fill=width is None, stroke=width is not None, fillMode=0 if kind == "fill-even-odd" else 1)
    c.endForm()
    last = 0
    for (sheet, x, y), serial in zip(places(units), names(lot, units)):
        if sheet != last:
            c.showPage()
            last = sheet
        c.saveState()
        c.translate(x * PT, (HEIGHT - y - high) * PT)
        c.doForm("alike")
        text(line, line["text"].replace(lot, serial))
        left, top, side = square
        path = c.beginPath()
        for column, row, length in runs(payload(serial)):
            path.rect((left + column * side) * PT, (high - top - (row + 1) * side) * PT, length * side * PT, side * PT)
        c.drawPath(path, fill=1, stroke=0)
        c.restoreState()
    c.showPage()
    c.save()


def by_typst(page, alike, line, square, lot, units, out):
    import typst
    high = mm(page["trim"]["circle"]["diameter"])

    def words(t, text):
        style = FACES[t["face"]]
        stretch = {"Semi": "87.5%", "Cond": "75%", "Extr": "62.5%"}[style[:4]]
        weight = "bold" if style.endswith("Bold") else "regular"
        return '#place(dx: %smm, dy: %smm, text(size: %smm, stretch: %s, weight: "%s", %s))' % (
            mm(t["x"]), mm(t["baseline"]), mm(t["size"]), stretch, weight, text)

    source = ['#set text(font: "Noto Sans", top-edge: "baseline", bottom-edge: "baseline", fallback: false, kerning: false)',
              "#set page(width: %smm, height: %smm, margin: 0pt)" % (WIDTH, HEIGHT),
              '#let data = json("data.json")', "#let alike = block(width: %smm, height: %smm)[" % (high, high)]
    for item in alike:
        if "text" in item:
            source.append(words(item["text"], json.dumps(item["text"]["text"], ensure_ascii=False)))
            continue
        kind, colour, width = ink(item["path"]["paint"])
        paint = "rgb(%d, %d, %d)" % tuple(round(v * 255) for v in colour)
        how = "fill: %s" % paint if width is None else "stroke: %smm + %s" % (width, paint)
        rule = ', fill-rule: "even-odd"' if kind == "fill-even-odd" else ""
        parts = []
        for step, at in steps(item["path"]["rings"]):
            points = ", ".join("(%smm, %smm)" % at[n:n + 2] for n in range(0, len(at), 2))
            parts.append({"curve": "curve.cubic"}.get(step, "curve." + step) + "(" + points
                         + ('mode: "straight"' if step == "close" else "") + ")")
        source.append("#place(curve(%s%s, %s))" % (how, rule, ", ".join(parts)))
    left, top, side = square
    source += ["]", "#let one(s) = {", "  alike",
               "  " + words(line, "s.words").removeprefix("#").replace("place(", "place(top + left, ", 1),
               "  place(top + left, dx: %smm, dy: %smm, curve(fill: black, ..s.runs.map(r => {" % (left, top),
               "    let u = %smm" % side,
               "    (curve.move((r.at(0) * u, r.at(1) * u)), curve.line((r.at(2) * u, 0pt), relative: true),",
               "     curve.line((0pt, u), relative: true), curve.line((-r.at(2) * u, 0pt), relative: true), curve.close(mode: \"straight\"))",
               "  }).flatten()))", "}",
               "#for (n, s) in data.enumerate() {", "  if n > 0 and calc.rem(n, 8) == 0 { pagebreak() }",
               "  place(top + left, dx: 31mm + 80mm * calc.rem(n, 2), dy: 6.5mm + 72mm * calc.quo(calc.rem(n, 8), 2),",
               "    block(width: %smm, height: %smm, one(s)))" % (high, high), "}"]
    with tempfile.TemporaryDirectory() as work:
        labels = [{"words": line["text"].replace(lot, serial), "runs": runs(payload(serial))} for serial in names(lot, units)]
        with open(os.path.join(work, "data.json"), "w", encoding="utf-8") as file:
            json.dump(labels, file)
        with open(os.path.join(work, "label.typ"), "w", encoding="utf-8") as file:
            file.write("\n".join(source))
        typst.compile(os.path.join(work, "label.typ"), output=out, root=work, font_paths=[FONTS], ignore_system_fonts=True)


def main():
    tool, pages, out, lot, units = sys.argv[1:]
    with open(pages, encoding="utf-8") as file:
        parted = label(json.load(file), lot)
    {"cairo": by_cairo, "reportlab": by_reportlab, "typst": by_typst}[tool](*parted, lot, int(units), out)


main()
