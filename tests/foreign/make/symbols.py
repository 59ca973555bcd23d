#!/usr/bin/env python3
"""Prints `rules/label/symbols.csv`: what the symbols of the hazard pictograms look like, from pictures of another project.

    symbols.py FOLDER

FOLDER holds `ghsystem_*.pdf` of the LaTeX package ghsystem (LPPL 1.3), in Debian's `texlive-science` under
/usr/share/texlive/texmf-dist/tex/latex/ghsystem/pictures. Wants poppler's pdftoppm and the Python library Pillow.
"""
import io
import pathlib
import subprocess
import sys

from PIL import Image

SYMBOLS = {
    "GHS01": "explos", "GHS02": "flame", "GHS03": "flame-O", "GHS04": "bottle", "GHS05": "acid",
    "GHS06": "skull", "GHS07": "exclam", "GHS08": "health", "GHS09": "aqpol",
}
CELLS = 16
GRID = 240
REACH = 0.82


def black(picture):
    """The places where the symbol is black, along the sides of the square that stands on its point."""
    wide, high = picture.size
    pixels = picture.load()
    found = set()
    for row in range(GRID):
        for column in range(GRID):
            u, v = (((n + 0.5) / GRID * 2 - 1) * REACH for n in (column, row))
            x, y = (u - v) / 2, (u + v) / 2
            if max(pixels[wide / 2 * (1 + x), high / 2 * (1 + y)]) < 128:
                found.add((column, row))
    return found


def cells(found):
    """Shares of black in ninths, in cells of the box round the symbol, whose shorter side is filled up on both sides."""
    left, right = min(c for c, _ in found), max(c for c, _ in found) + 1
    top, bottom = min(r for _, r in found), max(r for _, r in found) + 1
    side = max(right - left, bottom - top)
    x0, y0 = (left + right - side) / 2, (top + bottom - side) / 2
    at = lambda n, k: (n + (k + 0.5) / 3) / CELLS * side
    for row in range(CELLS):
        yield "".join(
            str(sum((int(x0 + at(column, i)), int(y0 + at(row, j))) in found for i in range(3) for j in range(3)))
            for column in range(CELLS)
        )


print("sign,row,cells")
for sign, name in SYMBOLS.items():
    file = pathlib.Path(sys.argv[1]) / f"ghsystem_{name}.pdf"
    drawn = subprocess.run(["pdftoppm", "-r", "50", "-png", "-singlefile", file], capture_output=True, check=True).stdout
    for number, line in enumerate(cells(black(Image.open(io.BytesIO(drawn)).convert("RGB")))):
        print(f"{sign},{number},{line}")
