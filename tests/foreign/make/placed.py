#!/usr/bin/env python3
"""Draws placed lines and shapes with a general-purpose program, so that many labels can be drawn soon.

    placed.py TOOL FOLDER      every FOLDER/NAME.json to FOLDER/NAME.pdf; prints the tool and its version
    placed.py --list

A tool that is not installed is told with exit code 3. A file is a list of pages, in millimetres from the top left:
{width, height, shapes: [{rings, rgb, line}], lines: [{text, x, baseline, em, bold, rgb, stretch, unpainted, turn, spaced}],
over: [shapes drawn last]}. A shape is filled by the even-odd rule, or drawn as a line where `line` is its width.
`stretch` is in hundredths of the font's width, `turn` in degrees anticlockwise, `spaced` the room added between letters and
between words. qpdf and pdftocairo write a PDF anew: FOLDER/NAME.hand, the same pages drawn by hand.
Letters are those of Liberation Sans, of Nimbus Sans, or of standard Helvetica: all three have the same widths.
"""
import base64
import html
import json
import math
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

PT = 72 / 25.4
FONTS = pathlib.Path("/usr/share/fonts/truetype/liberation")
LIBERATION = FONTS / "LiberationSans-Regular.ttf", FONTS / "LiberationSans-Bold.ttf"
TOOLS = {}


class Absent(Exception):
    """The tool is not installed."""


def tool(name):
    def keep(function):
        TOOLS[name] = function
        return function

    return keep


def run(*command, cwd=None, ok=(0,), timeout=600):
    try:
        done = subprocess.run([str(c) for c in command], cwd=cwd, capture_output=True, timeout=timeout)
    except FileNotFoundError as error:
        raise Absent(command[0]) from error
    if done.returncode not in ok:
        raise RuntimeError((done.stderr or done.stdout).decode(errors="replace")[-800:])
    return (done.stdout + done.stderr).decode(errors="replace")


def package(name):
    import importlib
    import importlib.metadata

    try:
        return importlib.import_module({"pycairo": "cairo", "fpdf2": "fpdf"}.get(name, name)), importlib.metadata.version(name)
    except ImportError as error:
        raise Absent(name) from error


def fonts():
    if not all(f.exists() for f in LIBERATION):
        raise Absent("the fonts Liberation Sans")


def labels(folder):
    for file in sorted(folder.glob("*.json")):
        yield json.loads(file.read_text()), file.with_suffix(".pdf")


def hexed(rgb):
    return "#" + "".join(f"{round(c * 255):02x}" for c in rgb)


def turned(line):
    """Cosine and sine of the turn."""
    angle = math.radians(line["turn"])
    return math.cos(angle), math.sin(angle)


# --- libraries in Python -----------------------------------------------------------------------------------------------


def reportlab_shape(canvas, shape, high):
    canvas.setFillColorRGB(*shape["rgb"])
    canvas.setStrokeColorRGB(*shape["rgb"])
    canvas.setLineWidth(shape["line"] * PT)
    path = canvas.beginPath()
    for ring in shape["rings"]:
        for n, (x, y) in enumerate(ring):
            (path.lineTo if n else path.moveTo)(x * PT, (high - y) * PT)
        if not shape["line"]:
            path.close()
    canvas.drawPath(path, stroke=int(shape["line"] > 0), fill=int(not shape["line"]), fillMode=0)


@tool("reportlab")
def _(folder):
    _, version = package("reportlab")
    fonts()
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    for name, file in zip(("Body", "Body-Bold"), LIBERATION):
        registerFont(TTFont(name, str(file)))
    for pages, out in labels(folder):
        canvas = Canvas(str(out))
        for page in pages:
            high = page["height"]
            canvas.setPageSize((page["width"] * PT, high * PT))
            for shape in page["shapes"]:
                reportlab_shape(canvas, shape, high)
            for line in page["lines"]:
                cos, sin = turned(line)
                text = canvas.beginText()
                text.setFillColorRGB(*line["rgb"])
                text.setFont("Body-Bold" if line["bold"] else "Body", line["em"] * PT)
                text.setTextRenderMode(3 if line["unpainted"] else 0)
                text.setHorizScale(line["stretch"])
                text.setCharSpace(line["spaced"][0] * PT)
                text.setWordSpace(line["spaced"][1] * PT)
                text.setTextTransform(cos, sin, -sin, cos, line["x"] * PT, (high - line["baseline"]) * PT)
                text.textOut(line["text"])
                canvas.drawText(text)
            for shape in page["over"]:
                reportlab_shape(canvas, shape, high)
            canvas.showPage()
        canvas.save()
    return version


def fpdf_shape(pdf, shape):
    with pdf.drawing_context() as drawn:
        from fpdf.drawing import PaintedPath
        from fpdf.enums import IntersectionRule, PathPaintRule

        path = PaintedPath()
        path.auto_close = not shape["line"]
        for ring in shape["rings"]:
            for n, (x, y) in enumerate(ring):
                (path.line_to if n else path.move_to)(x, y)
            if not shape["line"]:
                path.close()
        colour = hexed(shape["rgb"])
        if shape["line"]:
            path.style.paint_rule = PathPaintRule.STROKE
            path.style.stroke_color, path.style.stroke_width = colour, shape["line"]
        else:
            path.style.paint_rule = PathPaintRule.FILL_EVENODD
            path.style.fill_color = colour
        drawn.add_item(path)


@tool("fpdf2")
def _(folder):
    fpdf, version = package("fpdf2")
    fonts()
    for pages, out in labels(folder):
        pdf = fpdf.FPDF(unit="mm")
        pdf.set_auto_page_break(False)
        for style, file in zip(("", "B"), LIBERATION):
            pdf.add_font("Body", style, str(file))
        for page in pages:
            # Its format has the shorter side first.
            wide, high = page["width"], page["height"]
            pdf.add_page(orientation="L" if wide > high else "P", format=(min(wide, high), max(wide, high)))
            for shape in page["shapes"]:
                fpdf_shape(pdf, shape)
            for line in page["lines"]:
                pdf.set_font("Body", "B" if line["bold"] else "", line["em"] * PT)
                pdf.set_text_color(*[round(c * 255) for c in line["rgb"]])
                pdf.set_stretching(line["stretch"])
                pdf.set_char_spacing(line["spaced"][0] * PT)
                pdf.text_mode = fpdf.enums.TextMode.INVISIBLE if line["unpainted"] else fpdf.enums.TextMode.FILL
                with pdf.rotation(line["turn"], line["x"], line["baseline"]):
                    pdf.text(line["x"], line["baseline"], line["text"])
            for shape in page["over"]:
                fpdf_shape(pdf, shape)
        pdf.output(str(out))
    return version


def cairo_shape(context, shape):
    import cairo

    context.set_source_rgb(*shape["rgb"])
    context.set_fill_rule(cairo.FILL_RULE_EVEN_ODD)
    for ring in shape["rings"]:
        for n, (x, y) in enumerate(ring):
            (context.line_to if n else context.move_to)(x, y)
        if not shape["line"]:
            context.close_path()
    if shape["line"]:
        context.set_line_width(shape["line"])
        context.stroke()
    else:
        context.fill()


@tool("pycairo")
def _(folder):
    cairo, version = package("pycairo")
    fonts()
    for pages, out in labels(folder):
        surface = cairo.PDFSurface(str(out), 1, 1)
        options = cairo.FontOptions()
        options.set_hint_metrics(cairo.HINT_METRICS_OFF)
        for page in pages:
            surface.set_size(page["width"] * PT, page["height"] * PT)
            context = cairo.Context(surface)
            context.set_font_options(options)
            context.scale(PT, PT)
            for shape in page["shapes"]:
                cairo_shape(context, shape)
            for line in page["lines"]:
                weight = cairo.FONT_WEIGHT_BOLD if line["bold"] else cairo.FONT_WEIGHT_NORMAL
                context.select_font_face("Liberation Sans", cairo.FONT_SLANT_NORMAL, weight)
                context.set_font_matrix(cairo.Matrix(line["em"] * line["stretch"] / 100, 0, 0, line["em"], 0, 0))
                context.set_source_rgb(*line["rgb"])
                context.save()
                context.translate(line["x"], line["baseline"])
                context.rotate(-math.radians(line["turn"]))
                context.move_to(0, 0)
                context.show_text(line["text"])
                context.restore()
            for shape in page["over"]:
                cairo_shape(context, shape)
            context.show_page()
        surface.finish()
    return f"{version} (cairo {cairo.cairo_version_string()})"


# --- typesetters -------------------------------------------------------------------------------------------------------


def typst_shape(shape):
    steps = []
    for ring in shape["rings"]:
        steps += [f"curve.{'line' if n else 'move'}(({x:.4f}mm, {y:.4f}mm))" for n, (x, y) in enumerate(ring)]
        if not shape["line"]:
            steps.append("curve.close()")
    ink = f'rgb("{hexed(shape["rgb"])}")'
    paint = f"stroke: {shape['line']}mm + {ink}" if shape["line"] else f'fill: {ink}, fill-rule: "even-odd"'
    return f"#place(top + left, curve({paint}, {', '.join(steps)}))"


@tool("typst")
def _(folder):
    typst, version = package("typst")
    fonts()
    for pages, out in labels(folder):
        source = ['#set text(font: "Liberation Sans", hyphenate: false, top-edge: "baseline", bottom-edge: "baseline")']
        for page in pages:
            source.append(f'#page(width: {page["width"]}mm, height: {page["height"]}mm, margin: 0pt)[')
            source += [typst_shape(s) for s in page["shapes"]]
            for line in page["lines"]:
                words = json.dumps(line["text"], ensure_ascii=False)
                weight = '"bold"' if line["bold"] else '"regular"'
                text = (f'text(size: {line["em"] * PT:.4f}pt, weight: {weight}, fill: rgb("{hexed(line["rgb"])}"), '
                        f'tracking: {line["spaced"][0]}mm, {words})')
                body = f"scale(x: {line['stretch']}%, origin: top + left, box(width: 3000mm, {text}))"
                source.append(f'#place(top + left, dx: {line["x"]:.4f}mm, dy: {line["baseline"]:.4f}mm, '
                              f'rotate({-line["turn"]}deg, origin: top + left, {body}))')
            source += [typst_shape(s) for s in page["over"]]
            source.append("]")
        typst.compile("\n".join(source).encode(), output=str(out), font_paths=[str(FONTS)], ignore_system_fonts=True)
    return version


TEX = {"#": r"\#", "$": r"\$", "%": r"\%", "&": r"\&", "_": r"\_", "{": r"\{", "}": r"\}", "-": "{-}", "~": r"\textasciitilde{}",
       "^": r"\textasciicircum{}", "\\": r"\textbackslash{}", "\u00a0": "~", "°": r"\textdegree{}", "±": r"\textpm{}", "×": r"\texttimes{}",
       "•": r"\textbullet{}", "’": "'", "'": r"\textquotesingle{}", "½": r"\textonehalf{}", "¼": r"\textonequarter{}", "€": r"\texteuro{}", "–": "--",
       "—": "---", "·": r"\textperiodcentered{}", "²": r"\texttwosuperior{}", "µ": r"\textmu{}"}


def operators(shape, high):
    """A shape as PDF operators, from the foot of the page."""
    colour = " ".join(f"{c:.3f}" for c in shape["rgb"])
    steps = [f"{x * PT:.3f} {(high - y) * PT:.3f} {'l' if n else 'm'}" + (" h" if n + 1 == len(ring) and not shape["line"] else "")
             for ring in shape["rings"] for n, (x, y) in enumerate(ring)]
    paint = f"{colour} RG {shape['line'] * PT:.3f} w {' '.join(steps)} S" if shape["line"] else f"{colour} rg {' '.join(steps)} f*"
    return f"q {paint} Q"


@tool("pdflatex")
def _(folder):
    """Type 1 fonts (Nimbus Sans as `phv`), letters told by their glyph names."""
    version = run("pdflatex", "--version").splitlines()[0].partition("(")[0].split("-")[-1].strip()
    for pages, out in labels(folder):
        source = [r"\documentclass{article}\usepackage[utf8]{inputenc}\usepackage[T1]{fontenc}\usepackage{textcomp}",
                  r"\hoffset=-1in\voffset=-1in\topmargin=0pt\headheight=0pt\headsep=0pt\oddsidemargin=0pt\topskip=0pt\parindent=0pt",
                  r"\pagestyle{empty}\setlength{\unitlength}{1mm}\begin{document}\fontfamily{phv}\selectfont"]
        for page in pages:
            wide, high = page["width"], page["height"]
            source.append(rf"\pdfpagewidth={wide}mm\pdfpageheight={high}mm\textwidth={wide}mm\textheight={high}mm\hsize={wide}mm\vsize={high}mm")
            source.append(rf"\noindent\begin{{picture}}({wide},{high})(0,0)")
            for shape in page["shapes"]:
                source.append(rf"\put(0,0){{\pdfliteral{{{operators(shape, high)}}}}}")
            for line in page["lines"]:
                cos, sin = turned(line)
                wider = line["stretch"] / 100
                colour = " ".join(f"{c:.3f}" for c in line["rgb"])
                words = "".join(TEX.get(c, c) for c in line["text"])
                face = rf"\fontseries{{{'b' if line['bold'] else 'm'}}}\fontsize{{{line['em'] * PT:.4f}bp}}{{0bp}}\selectfont"
                source.append(rf"\put({line['x']:.4f},{high - line['baseline']:.4f}){{\pdfsave\pdfliteral{{{colour} rg {3 if line['unpainted'] else 0} Tr}}"
                              rf"\pdfsetmatrix{{{wider * cos:.5f} {wider * sin:.5f} {-sin:.5f} {cos:.5f}}}\rlap{{{face} {words}}}\pdfrestore}}")
            for shape in page["over"]:
                source.append(rf"\put(0,0){{\pdfliteral{{{operators(shape, high)}}}}}")
            source += [r"\end{picture}", r"\newpage"]
        source.append(r"\end{document}")
        with tempfile.TemporaryDirectory() as work:
            work = pathlib.Path(work)
            (work / "label.tex").write_text("\n".join(source))
            run("pdflatex", "-interaction=nonstopmode", "-halt-on-error", "label.tex", cwd=work)
            shutil.copy(work / "label.pdf", out)
    return version


# --- a browser ---------------------------------------------------------------------------------------------------------


def svg_shape(shape):
    steps = "".join("M" + "L".join(f"{x:.4f} {y:.4f}" for x, y in ring) + ("" if shape["line"] else "Z") for ring in shape["rings"])
    colour = hexed(shape["rgb"])
    paint = f"fill='none' stroke='{colour}' stroke-width='{shape['line']}'" if shape["line"] else f"fill='{colour}' fill-rule='evenodd'"
    return f"<path {paint} d='{steps}'/>"


def web_page(pages):
    sheet, body = ["*{margin:0;padding:0}svg{position:absolute;left:0;top:0}text{font-family:'Liberation Sans';white-space:pre}"], []
    for n, page in enumerate(pages):
        size = f"width:{page['width']}mm;height:{page['height']}mm"
        sheet.append(f"@page p{n}{{size:{page['width']}mm {page['height']}mm;margin:0}}"
                     f".p{n}{{page:p{n};position:relative;{size};overflow:hidden;break-after:page}}")
        body.append(f"<div class=p{n}><svg style='{size}' viewBox='0 0 {page['width']} {page['height']}'>")
        body += [svg_shape(s) for s in page["shapes"]]
        for line in page["lines"]:
            place = f"translate({line['x']:.4f} {line['baseline']:.4f}) rotate({-line['turn']:.3f}) scale({line['stretch'] / 100} 1)"
            body.append(f"<text transform='{place}' letter-spacing='{line['spaced'][0]}' word-spacing='{line['spaced'][1]}' font-size='{line['em']:.4f}' "
                        f"font-weight='{700 if line['bold'] else 400}' fill='{hexed(line['rgb'])}'>{html.escape(line['text'])}</text>")
        body += [svg_shape(s) for s in page["over"]]
        body.append("</svg></div>")
    return f"<!doctype html><html lang=en><meta charset=utf-8><style>{''.join(sheet)}div:last-child{{break-after:auto}}</style>{''.join(body)}"


class Browser:
    """A browser without a window that is told over two pipes what to do (its DevTools protocol)."""

    def __init__(self, profile):
        ours_in, theirs_out = os.pipe()
        theirs_in, ours_out = os.pipe()

        def pipes():
            # High numbers first, so that neither is overwritten.
            a, b = os.dup(theirs_in), os.dup(theirs_out)
            os.dup2(a, 3)
            os.dup2(b, 4)

        command = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe", f"--user-data-dir={profile}", "about:blank"]
        try:
            self.process = subprocess.Popen(command, close_fds=False, preexec_fn=pipes, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        except FileNotFoundError as error:
            raise Absent("chromium") from error
        os.close(theirs_in)
        os.close(theirs_out)
        self.read, self.write = os.fdopen(ours_in, "rb", buffering=0), os.fdopen(ours_out, "wb", buffering=0)
        self.number, self.rest, self.session = 0, b"", None

    def message(self):
        while b"\0" not in self.rest:
            more = self.read.read(1 << 20)
            if not more:
                raise RuntimeError("the browser has ended")
            self.rest += more
        first, self.rest = self.rest.split(b"\0", 1)
        return json.loads(first)

    def call(self, method, **given):
        self.number += 1
        asked = {"id": self.number, "method": method, "params": given} | ({"sessionId": self.session} if self.session else {})
        self.write.write(json.dumps(asked).encode() + b"\0")
        while (told := self.message()).get("id") != self.number:
            pass
        if "error" in told:
            raise RuntimeError(f"{method}: {told['error']}")
        return told["result"]


@tool("chromium")
def _(folder):
    with tempfile.TemporaryDirectory() as profile:
        browser = Browser(profile)
        try:
            version = browser.call("Browser.getVersion")["product"]
            page = browser.call("Target.createTarget", url="about:blank")["targetId"]
            browser.session = browser.call("Target.attachToTarget", targetId=page, flatten=True)["sessionId"]
            frame = browser.call("Page.getFrameTree")["frameTree"]["frame"]["id"]
            for pages, out in labels(folder):
                browser.call("Page.setDocumentContent", frameId=frame, html=web_page(pages))
                printed = browser.call("Page.printToPDF", preferCSSPageSize=True, printBackground=True)
                out.write_bytes(base64.b64decode(printed["data"]))
            browser.session = None
            browser.call("Browser.close")
        finally:
            try:
                browser.process.wait(20)
            except subprocess.TimeoutExpired:
                browser.process.kill()
    return version.rpartition("/")[2]


# --- an office program -------------------------------------------------------------------------------------------------

# Share of the em above the baseline (`hhea` of Liberation Sans).
ASCENT = 0.905273


def office_shape(shape, n, styles):
    name = f"S{n}"
    colour = hexed(shape["rgb"])
    paint = (f'draw:fill="none" draw:stroke="solid" svg:stroke-color="{colour}" svg:stroke-width="{shape["line"]}mm"' if shape["line"]
             else f'draw:stroke="none" draw:fill="solid" draw:fill-color="{colour}"')
    styles.append(f'<style:style style:name="{name}" style:family="graphic"><style:graphic-properties {paint}/></style:style>')
    xs, ys = zip(*[p for ring in shape["rings"] for p in ring])
    left, top, wide, high = min(xs), min(ys), max(max(xs) - min(xs), 0.01), max(max(ys) - min(ys), 0.01)
    place = lambda x, y: f"{round((x - left) * 1000)} {round((y - top) * 1000)}"
    steps = " ".join("M" + " L".join(place(x, y) for x, y in ring) + ("" if shape["line"] else " Z") for ring in shape["rings"])
    return (f'<draw:path draw:style-name="{name}" svg:x="{left:.3f}mm" svg:y="{top:.3f}mm" svg:width="{wide:.3f}mm" svg:height="{high:.3f}mm" '
            f'svg:viewBox="0 0 {round(wide * 1000)} {round(high * 1000)}" svg:d="{steps}"/>')


def office_line(line, n, styles):
    styles.append(
        f'<style:style style:name="T{n}" style:family="text"><style:text-properties style:font-name="Liberation Sans" fo:font-size="{line["em"] * PT:.2f}pt" '
        f'fo:font-weight="{"bold" if line["bold"] else "normal"}" fo:color="{hexed(line["rgb"])}" style:text-scale="{line["stretch"]:.0f}%" '
        f'fo:letter-spacing="{line["spaced"][0]}mm" fo:language="none" fo:country="none"/></style:style>')
    cos, sin = turned(line)
    up = ASCENT * line["em"]
    # Its top left corner stands above the baseline.
    x, y = line["x"] - up * sin, line["baseline"] - up * cos
    place = (f'draw:transform="rotate({math.radians(line["turn"]):.6f}) translate({x:.4f}mm {y:.4f}mm)"' if line["turn"]
             else f'svg:x="{x:.4f}mm" svg:y="{y:.4f}mm"')
    return (f'<draw:frame draw:style-name="box" {place} svg:width="1mm" svg:height="1mm"><draw:text-box><text:p text:style-name="P">'
            f'<text:span text:style-name="T{n}">{html.escape(line["text"])}</text:span></text:p></draw:text-box></draw:frame>')


def office(pages):
    names = {n: f"urn:oasis:names:tc:opendocument:xmlns:{n}:1.0" for n in "office style text".split()}
    names["draw"] = "urn:oasis:names:tc:opendocument:xmlns:drawing:1.0"
    names["fo"] = "urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0"
    names["svg"] = "urn:oasis:names:tc:opendocument:xmlns:svg-compatible:1.0"
    layouts, masters, styles, drawn = [], [], [], []
    for n, page in enumerate(pages):
        layouts.append(f'<style:page-layout style:name="L{n}"><style:page-layout-properties fo:margin-top="0mm" fo:margin-bottom="0mm" '
                       f'fo:margin-left="0mm" fo:margin-right="0mm" fo:page-width="{page["width"]:.3f}mm" fo:page-height="{page["height"]:.3f}mm" '
                       f'style:print-orientation="{"landscape" if page["width"] > page["height"] else "portrait"}"/></style:page-layout>')
        masters.append(f'<style:master-page style:name="M{n}" style:page-layout-name="L{n}" draw:style-name="dp"/>')
        parts = []
        for shape in page["shapes"]:
            parts.append(office_shape(shape, len(styles), styles))
        for line in page["lines"]:
            parts.append(office_line(line, len(styles), styles))
        for shape in page["over"]:
            parts.append(office_shape(shape, len(styles), styles))
        drawn.append(f'<draw:page draw:name="page{n}" draw:style-name="dp" draw:master-page-name="M{n}">{"".join(parts)}</draw:page>')
    box = ('<style:style style:name="dp" style:family="drawing-page"/><style:style style:name="box" style:family="graphic">'
           '<style:graphic-properties draw:stroke="none" draw:fill="none" fo:padding-left="0mm" fo:padding-right="0mm" fo:padding-top="0mm" '
           'fo:padding-bottom="0mm" draw:auto-grow-height="true" draw:auto-grow-width="true" fo:wrap-option="no-wrap" '
           'draw:textarea-vertical-align="top" draw:textarea-horizontal-align="left"/></style:style>'
           '<style:style style:name="P" style:family="paragraph"><style:paragraph-properties fo:text-align="left"/></style:style>')
    face = '<style:font-face style:name="Liberation Sans" svg:font-family="\'Liberation Sans\'"/>'
    return (f'<?xml version="1.0" encoding="UTF-8"?><office:document {" ".join(f"xmlns:{k}={chr(34)}{v}{chr(34)}" for k, v in names.items())} '
            f'office:version="1.3" office:mimetype="application/vnd.oasis.opendocument.graphics"><office:font-face-decls>{face}</office:font-face-decls><office:styles/>'
            f'<office:automatic-styles>{"".join(layouts)}{box}{"".join(styles)}</office:automatic-styles><office:master-styles>{"".join(masters)}'
            f'</office:master-styles><office:body><office:drawing>{"".join(drawn)}</office:drawing></office:body></office:document>')


@tool("LibreOffice")
def _(folder):
    """All pages of a drawing are of one size, so each page is a file of its own."""
    version = run("soffice", "--version").split()[1]
    fonts()
    with tempfile.TemporaryDirectory() as work:
        work, files, joined = pathlib.Path(work), [], []
        for pages, out in labels(folder):
            parts = [work / f"{out.stem}-{n}.fodg" for n in range(len(pages))]
            for part, page in zip(parts, pages):
                part.write_text(office([page]))
            files += parts
            joined.append((out, [p.with_suffix(".pdf") for p in parts]))
        for start in range(0, len(files), 60):
            run("soffice", f"-env:UserInstallation=file://{work}/profile", "--headless", "--convert-to", "pdf:draw_pdf_Export", "--outdir", work,
                *files[start:start + 60])
        for out, parts in joined:
            run("qpdf", "--empty", "--pages", *parts, "--", out)
    return f"{version}, pages joined by qpdf"


# --- PostScript --------------------------------------------------------------------------------------------------------


@tool("Ghostscript")
def _(folder):
    """A PostScript program in the URW fonts, made a PDF."""
    version = run("gs", "--version").strip()
    recode = lambda name, of: (f"/{of} findfont dup length dict begin {{ 1 index /FID ne {{ def }} {{ pop pop }} ifelse }} forall "
                               f"/Encoding ISOLatin1Encoding 256 array copy def Encoding 16#95 /bullet put Encoding 16#92 /quoteright put "
                               f"Encoding 16#27 /quotesingle put Encoding 16#2d /hyphen put Encoding 16#96 /endash put Encoding 16#97 /emdash put "
                               f"Encoding 16#9c /oe put Encoding 16#8c /OE put Encoding 16#80 /Euro put Encoding 16#a0 /space put "
                               f"currentdict end /{name} exch definefont pop")
    for pages, out in labels(folder):
        source = ["%!PS", recode("Body", "NimbusSans-Regular"), recode("Body-Bold", "NimbusSans-Bold")]
        for page in pages:
            high = page["height"]
            source.append(f"<< /PageSize [{page['width'] * PT:.3f} {high * PT:.3f}] >> setpagedevice")

            def drawn(shape):
                source.append(" ".join(f"{c:.3f}" for c in shape["rgb"]) + " setrgbcolor")
                for ring in shape["rings"]:
                    source.extend(f"{x * PT:.3f} {(high - y) * PT:.3f} {'lineto' if n else 'moveto'}" for n, (x, y) in enumerate(ring))
                    source.append("" if shape["line"] else "closepath")
                source.append(f"{shape['line'] * PT:.3f} setlinewidth stroke" if shape["line"] else "eofill")

            for shape in page["shapes"]:
                drawn(shape)
            for line in page["lines"]:
                shown = "".join(f"\\{b:03o}" if b > 126 or chr(b) in "()\\" else chr(b) for b in line["text"].encode("cp1252"))
                em = line["em"] * PT
                source.append(f"gsave {' '.join(f'{c:.3f}' for c in line['rgb'])} setrgbcolor /Body{'-Bold' if line['bold'] else ''} findfont "
                              f"[{em * line['stretch'] / 100:.4f} 0 0 {em:.4f} 0 0] makefont setfont {line['x'] * PT:.4f} {(high - line['baseline']) * PT:.4f} "
                              f"translate {line['turn']} rotate 0 0 moveto {line['spaced'][1] * PT:.4f} 0 32 {line['spaced'][0] * PT:.4f} 0 ({shown}) awidthshow grestore")
            for shape in page["over"]:
                drawn(shape)
            source.append("showpage")
        file = out.with_suffix(".ps")
        file.write_text("\n".join(source))
        run("gs", "-q", "-dBATCH", "-dNOPAUSE", "-dSAFER", "-sDEVICE=pdfwrite", f"-sOutputFile={out}", file)
    return version


# --- written anew ------------------------------------------------------------------------------------------------------


def anew(name, version, *command):
    @tool(name)
    def _(folder):
        told = version()
        for file in sorted(folder.glob("*.hand")):
            run(*[str(file) if c == "IN" else str(file.with_suffix(".pdf")) if c == "OUT" else c for c in command], ok=(0, 3))
        return told


anew("qpdf", lambda: run("qpdf", "--version").splitlines()[0].split()[-1], "qpdf", "--object-streams=generate", "--compress-streams=y", "IN", "OUT")
anew("pdftocairo", lambda: run("pdftocairo", "-v").splitlines()[0].split()[-1], "pdftocairo", "-pdf", "IN", "OUT")


def main():
    if sys.argv[1:] == ["--list"]:
        print("\n".join(TOOLS))
        return 0
    name, folder = sys.argv[1], pathlib.Path(sys.argv[2]).resolve()
    try:
        print(TOOLS[name](folder))
    except Absent as error:
        print(f"not installed: {error}")
        return 3
    return 0


if __name__ == "__main__":
    sys.exit(main())
