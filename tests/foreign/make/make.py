#!/usr/bin/env python3
"""Makes PDFs of a label with general-purpose programs, so that the reader is tested on files it had no hand in.

    make.py OUT [--text LABEL.json] [--only NAME ...] [--list]

OUT gets NAME.pdf for every tool whose program or package is there; the others are told and left out (exit 1).
LABEL.json has the shape of low-tide.json beside this file; a variant with a fault in it makes faulty labels.
README.md in the folder above tells which programs, versions and fonts made the files that are kept.
"""
import argparse
import html
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).parent
PT = 72 / 25.4
FONTS = pathlib.Path("/usr/share/fonts/truetype")
NOTO = FONTS / "noto/NotoSans-Regular.ttf", FONTS / "noto/NotoSans-Bold.ttf"
DEJAVU = FONTS / "dejavu/DejaVuSans.ttf", FONTS / "dejavu/DejaVuSans-Bold.ttf"
MAKERS = {}


def maker(name):
    def keep(function):
        MAKERS[name] = function
        return function

    return keep


def run(*command, cwd=None, ok=(0,)):
    done = subprocess.run([str(c) for c in command], cwd=cwd, capture_output=True, timeout=180)
    if done.returncode not in ok:
        raise RuntimeError((done.stderr or done.stdout).decode(errors="replace")[-600:])


def paragraphs(text):
    """The forced lines of a block; its sentences run on."""
    return " ".join(text["text"]).split("\n")


def wrapped(text, measure):
    """Lines no wider than the block, broken at spaces; `measure` gives millimetres."""
    for paragraph in paragraphs(text):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}".strip()
            if line and measure(longer) > text["width"]:
                yield line
                line = word
            else:
                line = longer
        yield line


def start(text, wide):
    return text["left"] + (text["width"] - wide) / 2 * (text["align"] == "center")


def baseline(text, number):
    return text["top"] + text["leading"] * (0.8 + number)


def without_care(label):
    """Without its longest block: curves take much room."""
    return {"pages": [{**p, "texts": [t for t in p["texts"] if t["id"] != "care"]} for p in label["pages"]]}


# --- cairo: a drawing library in C -------------------------------------------------------------------------------------


def cairo_draw(context, page, family, outlined=False):
    import cairo

    for polygon in page["polygons"]:
        context.set_source_rgb(*[float(polygon["ink"] == "white")] * 3)
        for x, y in polygon["points"]:
            context.line_to(x, y)
        context.close_path()
        context.fill()
    context.set_source_rgb(0, 0, 0)
    for text in page["texts"]:
        weight = cairo.FONT_WEIGHT_BOLD if text["bold"] else cairo.FONT_WEIGHT_NORMAL
        context.select_font_face(family, cairo.FONT_SLANT_NORMAL, weight)
        context.set_font_size(text["pt"] / PT)
        measure = lambda line: context.text_extents(line).x_advance
        for n, line in enumerate(wrapped(text, measure)):
            context.move_to(start(text, measure(line)), baseline(text, n))
            if outlined:
                context.text_path(line)
                context.fill()
            else:
                context.show_text(line)


def cairo_pdf(label, out, family, outlined=False):
    import cairo

    first = label["pages"][0]
    surface = cairo.PDFSurface(str(out), first["width"] * PT, first["height"] * PT)
    options = cairo.FontOptions()
    options.set_hint_metrics(cairo.HINT_METRICS_OFF)
    for page in label["pages"]:
        surface.set_size(page["width"] * PT, page["height"] * PT)
        context = cairo.Context(surface)
        context.set_font_options(options)
        context.scale(PT, PT)
        cairo_draw(context, page, family, outlined)
        context.show_page()
    surface.finish()


@maker("cairo")
def _(label, out, work):
    cairo_pdf(label, out, "Noto Sans")


@maker("cairo-outlined")
def _(label, out, work):
    """All letters as curves, as a designer's file for print often is."""
    cairo_pdf(without_care(label), out, "DejaVu Sans", outlined=True)


@maker("cairo-picture")
def _(label, out, work):
    """One grey picture a page, as from a painting program or a scan; 300 pixels an inch."""
    import cairo

    dots = 300 / 25.4
    surface = cairo.PDFSurface(str(out), 1, 1)
    for page in label["pages"]:
        surface.set_size(page["width"] * PT, page["height"] * PT)
        picture = cairo.ImageSurface(cairo.FORMAT_A8, round(page["width"] * dots), round(page["height"] * dots))
        context = cairo.Context(picture)
        context.scale(dots, dots)
        cairo_draw(context, {**page, "polygons": [p for p in page["polygons"] if p["ink"] == "black"]}, "Noto Sans")
        context = cairo.Context(surface)
        context.scale(PT / dots, PT / dots)
        context.mask_surface(picture, 0, 0)
        context.show_page()
    surface.finish()


@maker("cairo-sheet")
def _(label, out, work):
    """Six fronts on a sheet, 70 mm by 80 mm apart; each with a lot of its own."""
    import cairo

    front = label["pages"][0]
    surface = cairo.PDFSurface(str(out), 215.9 * PT, 279.4 * PT)
    context = cairo.Context(surface)
    context.scale(PT, PT)
    for n in range(6):
        context.save()
        context.translate(8 + 70 * (n % 3), 12 + 80 * (n // 3))
        serial = {**front["texts"][2], "text": [f"No. {n + 1} of 6"], "top": 41, "pt": 6, "leading": 3}
        cairo_draw(context, {**front, "texts": [*front["texts"], serial]}, "Noto Sans")
        context.restore()
    context.show_page()
    surface.finish()


# --- ReportLab and fpdf2: libraries in Python --------------------------------------------------------------------------


def reportlab_pdf(label, out, fonts, **options):
    from reportlab.pdfbase.pdfmetrics import stringWidth
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(str(out), **options)
    for page in label["pages"]:
        canvas.setPageSize((page["width"] * PT, page["height"] * PT))
        for polygon in page["polygons"]:
            canvas.setFillGray(float(polygon["ink"] == "white"))
            path = canvas.beginPath()
            for n, (x, y) in enumerate(polygon["points"]):
                (path.lineTo if n else path.moveTo)(x * PT, (page["height"] - y) * PT)
            path.close()
            canvas.drawPath(path, stroke=0, fill=1)
        canvas.setFillGray(0)
        for text in page["texts"]:
            font = fonts[text["bold"]]
            measure = lambda line: stringWidth(line, font, text["pt"]) / PT
            canvas.setFont(font, text["pt"])
            for n, line in enumerate(wrapped(text, measure)):
                x, y = start(text, measure(line)), page["height"] - baseline(text, n)
                canvas.drawString(x * PT, y * PT, line)
        canvas.showPage()
    canvas.save()


@maker("reportlab-standard")
def _(label, out, work):
    """Standard fonts that are not embedded, no compression, PDF 1.3."""
    reportlab_pdf(label, out, ("Helvetica", "Helvetica-Bold"), pageCompression=0, pdfVersion=(1, 3))


@maker("reportlab")
def _(label, out, work):
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    for name, file in zip(("Body", "Body-Bold"), DEJAVU):
        registerFont(TTFont(name, str(file)))
    reportlab_pdf(label, out, ("Body", "Body-Bold"))


@maker("fpdf2")
def _(label, out, work):
    from fpdf import FPDF

    pdf = FPDF(unit="mm")
    pdf.set_auto_page_break(False)
    for style, file in zip(("", "B"), DEJAVU):
        pdf.add_font("Body", style, str(file))
    for page in label["pages"]:
        pdf.add_page(format=(page["width"], page["height"]))
        for polygon in page["polygons"]:
            pdf.set_fill_color(255 * (polygon["ink"] == "white"))
            pdf.polygon([tuple(p) for p in polygon["points"]], style="F")
        for text in page["texts"]:
            pdf.set_font("Body", "B" if text["bold"] else "", text["pt"])
            for n, line in enumerate(wrapped(text, pdf.get_string_width)):
                pdf.text(start(text, pdf.get_string_width(line)), baseline(text, n), line)
    pdf.output(str(out))


# --- a typesetter ------------------------------------------------------------------------------------------------------


@maker("typst")
def _(label, out, work):
    import typst

    source = ['#set text(font: "Noto Sans", hyphenate: true, lang: "en")', "#set par(spacing: 0pt)"]
    for page in label["pages"]:
        source.append(f'#page(width: {page["width"]}mm, height: {page["height"]}mm, margin: 0pt)[')
        for polygon in page["polygons"]:
            points = ", ".join(f"({x}mm, {y}mm)" for x, y in polygon["points"])
            source.append(f'#place(top + left, polygon(fill: {polygon["ink"]}, {points}))')
        for text in page["texts"]:
            words = " \\\n".join(escaped_typst(p) for p in paragraphs(text))
            weight = '"bold"' if text["bold"] else '"regular"'
            lead = f'#set text(size: {text["pt"]}pt, weight: {weight}, top-edge: 0.8 * {text["leading"]}mm, bottom-edge: -0.2 * {text["leading"]}mm)'
            body = f'#set par(leading: 0pt)\n#set align({text["align"]})\n{words}'
            source.append(f'#place(top + left, dx: {text["left"]}mm, dy: {text["top"]}mm, block(width: {text["width"]}mm)[{lead}\n{body}])')
        source.append("]")
    (work / "label.typ").write_text("\n".join(source))
    typst.compile(work / "label.typ", output=str(out), font_paths=[str(FONTS / "noto")])


def escaped_typst(text):
    return "".join("\\" + c if c in "\\#*_`$<>@=-+/~[]\"'" else c for c in text)


# --- a browser ---------------------------------------------------------------------------------------------------------


@maker("chromium")
def _(label, out, work):
    page = lambda p: f"size: {p['width']}mm {p['height']}mm; margin: 0"
    rules = "".join(f"@page p{n} {{ {page(p)} }} .p{n} {{ page: p{n} }}" for n, p in enumerate(label["pages"]))
    body = []
    for number, p in enumerate(label["pages"]):
        body.append(f'<section class="p{number}" style="width:{p["width"]}mm;height:{p["height"]}mm">')
        body.append(f'<svg viewBox="0 0 {p["width"]} {p["height"]}">')
        for polygon in p["polygons"]:
            points = " ".join(f"{x},{y}" for x, y in polygon["points"])
            body.append(f'<polygon points="{points}" fill="{polygon["ink"]}"/>')
        body.append("</svg>")
        for t in p["texts"]:
            style = (f"left:{t['left']}mm;top:{t['top']}mm;width:{t['width']}mm;font:{'bold' if t['bold'] else 'normal'} "
                     f"{t['pt']}pt/{t['leading']}mm 'DejaVu Sans';text-align:{t['align']}")
            lines = "<br>".join(html.escape(line) for line in paragraphs(t))
            body.append(f'<div style="{style}">{lines}</div>')
        body.append("</section>")
    sheet = ("section{position:relative;overflow:hidden;break-after:page}section:last-child{break-after:auto}"
             "body{margin:0}div,svg{position:absolute}svg{left:0;top:0;width:100%;height:100%}" + rules)
    source = f'<!doctype html><html lang="en"><meta charset="utf-8"><style>{sheet}</style>{"".join(body)}</html>'
    (work / "label.html").write_text(source)
    run("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", f"--user-data-dir={work}/profile",
        f"--print-to-pdf={out}", (work / "label.html").as_uri())


# --- an office program -------------------------------------------------------------------------------------------------


@maker("libreoffice")
def _(label, out, work):
    names = "office style text draw fo svg".split()
    spaces = {n: f"urn:oasis:names:tc:opendocument:xmlns:{n if n not in ('draw',) else 'drawing'}:1.0" for n in names}
    spaces["fo"] = "urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0"
    spaces["svg"] = "urn:oasis:names:tc:opendocument:xmlns:svg-compatible:1.0"
    declared = " ".join(f'xmlns:{n}="{u}"' for n, u in spaces.items())
    styles, layouts, masters, pages = [], [], [], []
    for n, page in enumerate(label["pages"]):
        layouts.append(f'<style:page-layout style:name="L{n}"><style:page-layout-properties fo:margin="0mm" '
                       f'fo:page-width="{page["width"]}mm" fo:page-height="{page["height"]}mm"/></style:page-layout>')
        masters.append(f'<style:master-page style:name="M{n}" style:page-layout-name="L{n}" draw:style-name="dp"/>')
        shapes = []
        for polygon in page["polygons"]:
            xs, ys = zip(*polygon["points"])
            left, top, wide, high = min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)
            points = " ".join(f"{round((x - left) * 1000)},{round((y - top) * 1000)}" for x, y in polygon["points"])
            shapes.append(f'<draw:polygon draw:style-name="{polygon["ink"]}" svg:x="{left}mm" svg:y="{top}mm" svg:width="{wide}mm" '
                          f'svg:height="{high}mm" svg:viewBox="0 0 {round(wide * 1000)} {round(high * 1000)}" draw:points="{points}"/>')
        for text in page["texts"]:
            name = f"T{n}-{text['id']}"
            weight = "bold" if text["bold"] else "normal"
            styles.append(
                f'<style:style style:name="{name}" style:family="paragraph"><style:paragraph-properties fo:text-align="{text["align"]}" '
                f'fo:line-height="{text["leading"]}mm"/><style:text-properties style:font-name="DejaVu Sans" fo:language="en" fo:country="US" '
                f'fo:font-size="{text["pt"]}pt" fo:font-weight="{weight}"/></style:style>')
            lines = "".join(f'<text:p text:style-name="{name}">{html.escape(line)}</text:p>' for line in paragraphs(text))
            shapes.append(f'<draw:frame draw:style-name="box" svg:x="{text["left"]}mm" svg:y="{text["top"]}mm" svg:width="{text["width"]}mm" '
                          f'svg:height="{text["leading"]}mm"><draw:text-box>{lines}</draw:text-box></draw:frame>')
        pages.append(f'<draw:page draw:master-page-name="M{n}">{"".join(shapes)}</draw:page>')
    fill = lambda ink, colour: (f'<style:style style:name="{ink}" style:family="graphic"><style:graphic-properties draw:stroke="none" '
                                f'draw:fill="solid" draw:fill-color="{colour}"/></style:style>')
    box = ('<style:style style:name="box" style:family="graphic"><style:graphic-properties draw:stroke="none" draw:fill="none" '
           'fo:padding-left="0mm" fo:padding-right="0mm" fo:padding-top="0mm" fo:padding-bottom="0mm" draw:auto-grow-height="true" draw:textarea-vertical-align="top"/></style:style>'
           '<style:style style:name="dp" style:family="drawing-page"/>')
    source = (f'<?xml version="1.0" encoding="UTF-8"?><office:document {declared} office:version="1.2" '
              f'office:mimetype="application/vnd.oasis.opendocument.graphics"><office:font-face-decls><style:font-face '
              f'style:name="DejaVu Sans" svg:font-family="\'DejaVu Sans\'"/></office:font-face-decls><office:automatic-styles>'
              f'{"".join(layouts)}{fill("black", "#000000")}{fill("white", "#ffffff")}{box}{"".join(styles)}</office:automatic-styles>'
              f'<office:master-styles>{"".join(masters)}</office:master-styles><office:body><office:drawing>{"".join(pages)}'
              f'</office:drawing></office:body></office:document>')
    (work / "label.fodg").write_text(source)
    run("soffice", f"-env:UserInstallation=file://{work}/profile", "--headless", "--convert-to", "pdf:draw_pdf_Export", "--outdir", work,
        work / "label.fodg")
    shutil.copy(work / "label.pdf", out)


# --- the TeX family ----------------------------------------------------------------------------------------------------


def tex_escaped(text):
    return "".join("\\" + c if c in "#$%&_{}" else c for c in text).replace("-", "{-}")


def tex_source(label, head, fonts, literal):
    """Blocks in a picture environment; polygons as PDF operators through `literal`."""
    source = [r"\documentclass{article}", head, r"\setlength{\unitlength}{1mm}\parindent=0pt\pagestyle{empty}",
              r"\hoffset=-1in\voffset=-1in\topmargin=0pt\headheight=0pt\headsep=0pt\oddsidemargin=0pt\topskip=0pt",
              r"\hyphenpenalty=10\tolerance=3000\emergencystretch=5mm", r"\begin{document}"]
    for n, page in enumerate(label["pages"]):
        wide, high = page["width"], page["height"]
        source.append(rf"\SIZE{{{wide}}}{{{high}}}\textwidth={wide}mm\textheight={high}mm\hsize={wide}mm\vsize={high}mm")
        source.append(rf"\begin{{picture}}({wide},{high})(0,0)")
        for polygon in page["polygons"]:
            steps = " ".join(f"{x * PT:.3f} {-y * PT:.3f} {'l' if k else 'm'}" for k, (x, y) in enumerate(polygon["points"]))
            grey = "1" if polygon["ink"] == "white" else "0"
            source.append(rf"\put(0,{high}){{{literal(f'q {grey} g {steps} h f Q')}}}")
        for text in page["texts"]:
            centre = r"\centering" if text["align"] == "center" else r"\raggedright"
            body = r"\par ".join(tex_escaped(p) for p in paragraphs(text))
            # TeX counts 72.27 points in an inch; `bp` are those of PDF.
            font = rf"\font\face={fonts[text['bold']]} at {text['pt']}bp\face\baselineskip={text['leading']}mm\lineskiplimit=-9mm "
            top = high - text["top"] - 0.8 * text["leading"]
            source.append(rf"\put({text['left']},{top:.3f}){{\parbox[t]{{{text['width']}mm}}{{{font}{centre} {body}\par}}}}")
        source += [r"\end{picture}", r"\newpage"]
    return "\n".join(source + [r"\end{document}"])


@maker("pdflatex")
def _(label, out, work):
    """Type 1 fonts; no ToUnicode, letters are told by their glyph names."""
    head = r"\usepackage[T1]{fontenc}\pdfminorversion=4\pdfgentounicode=0\def\SIZE#1#2{\pdfpagewidth=#1mm\pdfpageheight=#2mm}"
    fonts = "ec-lmss10", "ec-lmssbx10"
    (work / "label.tex").write_text(tex_source(label, head, fonts, lambda ops: rf"\pdfliteral{{{ops}}}"))
    run("pdflatex", "-interaction=batchmode", "label.tex", cwd=work, ok=(0, 1))
    shutil.copy(work / "label.pdf", out)


@maker("xelatex")
def _(label, out, work):
    head = r"\def\SIZE#1#2{\pdfpagewidth=#1mm\pdfpageheight=#2mm}"
    fonts = '"[lmroman10-regular.otf]"', '"[lmroman10-bold.otf]"'
    (work / "label.tex").write_text(tex_source(label, head, fonts, lambda ops: rf"\special{{pdf:content {ops}}}"))
    run("xelatex", "-interaction=batchmode", "label.tex", cwd=work, ok=(0, 1))
    shutil.copy(work / "label.pdf", out)


# --- PostScript by hand through Ghostscript ----------------------------------------------------------------------------


def ghostscript(label, out, work, *options):
    """The label as a PostScript program in the URW fonts, made a PDF."""
    source = ["%!PS", "/fit { dup stringwidth pop } def"]
    for page in label["pages"]:
        source.append(f"<< /PageSize [{page['width'] * PT} {page['height'] * PT}] >> setpagedevice")
        for polygon in page["polygons"]:
            steps = " ".join(f"{x * PT} {(page['height'] - y) * PT} {'lineto' if k else 'moveto'}" for k, (x, y) in enumerate(polygon["points"]))
            source.append(f"{float(polygon['ink'] == 'white')} setgray {steps} closepath fill")
        source.append("0 setgray")
        for text in page["texts"]:
            font = "NimbusSans-Bold" if text["bold"] else "NimbusSans-Regular"
            source.append(f"/{font} {text['pt']} selectfont")
            # About the mean width of these letters; only where lines break depends on it.
            for n, line in enumerate(wrapped(text, lambda line: len(line) * 0.52 * text["pt"] / PT)):
                shown = line.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")
                x, y = text["left"] * PT, (page["height"] - baseline(text, n)) * PT
                shift = f"{text['width'] * PT} fit sub 2 div 0 rmoveto" if text["align"] == "center" else ""
                shift = shift.replace("fit", f"({shown}) stringwidth pop")
                source.append(f"{x} {y} moveto {shift} ({shown}) show")
        source.append("showpage")
    (work / "label.ps").write_text("\n".join(source))
    run("gs", "-q", "-dBATCH", "-dNOPAUSE", "-dSAFER", "-sDEVICE=pdfwrite", *options, f"-sOutputFile={out}", work / "label.ps")


@maker("ghostscript-1.3")
def _(label, out, work):
    """Type 1 programs made to CFF (Type 1C), PDF 1.3."""
    ghostscript(label, out, work, "-dCompatibilityLevel=1.3")


@maker("ghostscript-outlined")
def _(label, out, work):
    ghostscript(without_care(label), out, work, "-dNoOutputFonts")


# --- rewritten by qpdf -------------------------------------------------------------------------------------------------


def rewritten(name, of, *options):
    @maker(name)
    def _(label, out, work):
        MAKERS[of](label, work / "first.pdf", work)
        run("qpdf", *options, work / "first.pdf", out, ok=(0, 3))


rewritten("qpdf-object-streams", "libreoffice", "--object-streams=generate", "--min-version=1.5")
rewritten("qpdf-2.0", "typst", "--force-version=2.0", "--object-streams=generate")
rewritten("qpdf-turned", "reportlab", "--rotate=+90:1", "--rotate=+270:2")
rewritten("qpdf-rc4", "cairo", "--allow-weak-crypto", "--encrypt", "", "owner", "40", "--")
rewritten("qpdf-aes-128", "cairo", "--allow-weak-crypto", "--encrypt", "", "owner", "128", "--use-aes=y", "--")
rewritten("qpdf-aes-256", "typst", "--encrypt", "", "owner", "256", "--", "--object-streams=generate")
rewritten("qpdf-password", "reportlab-standard", "--encrypt", "secret", "owner", "256", "--")


@maker("qpdf-forms")
def _(label, out, work):
    """Each page is one form XObject that is laid onto an empty page."""
    MAKERS["pdflatex"](label, work / "first.pdf", work)
    reportlab_pdf({"pages": [{**p, "texts": [], "polygons": []} for p in label["pages"]]}, work / "empty.pdf", ("Helvetica",) * 2)
    run("qpdf", work / "empty.pdf", "--overlay", work / "first.pdf", "--", out)


@maker("no-unicode")
def _(label, out, work):
    """A CID font by glyph numbers with its ToUnicode taken out: nobody can tell what the letters are."""
    MAKERS["fpdf2"](label, work / "first.pdf", work)
    run("qpdf", "--qdf", "--object-streams=disable", work / "first.pdf", work / "plain.pdf")
    plain = (work / "plain.pdf").read_bytes()
    (work / "cut.pdf").write_bytes(plain.replace(b"/ToUnicode ", b"/Nothing "))
    run("qpdf", "--object-streams=generate", work / "cut.pdf", out, ok=(0, 3))


def main():
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("out", type=pathlib.Path)
    arguments.add_argument("--text", type=pathlib.Path, default=HERE / "low-tide.json")
    arguments.add_argument("--only", nargs="+", choices=list(MAKERS), metavar="NAME")
    arguments.add_argument("--list", action="store_true", help="print the names and leave")
    given = arguments.parse_args()
    if given.list:
        print("\n".join(MAKERS))
        return 0
    label = json.loads(given.text.read_text())
    given.out.mkdir(parents=True, exist_ok=True)
    failed = 0
    for name in given.only or MAKERS:
        out = (given.out / f"{name}.pdf").resolve()
        with tempfile.TemporaryDirectory() as work:
            try:
                MAKERS[name](label, out, pathlib.Path(work))
                print(f"{name}: {out.stat().st_size} bytes")
            except (ImportError, OSError, RuntimeError, subprocess.TimeoutExpired) as error:
                failed += 1
                print(f"{name}: not made: {error}", file=sys.stderr)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
