"""Judges the plates Ghostscript makes of a print shop's page, which share nothing with waxbill:

    .ci/outside-plates.py FILE.pdf [INK...]

On the first page every plate must bear something beyond the bleed, where only marks stand, and there must be a plate for
each INK named. Needs gs and pdfinfo. Exit: 0 all fine, 1 something found, 2 cannot judge.
"""

import glob
import os
import re
import shutil
import struct
import subprocess
import sys
import tempfile

DPI = 150


def shades(path):
    """Width and rows of an uncompressed 8-bit TIFF of one channel, 0 being full ink (TIFF 6.0)."""
    data = open(path, "rb").read()
    order = "<" if data[:2] == b"II" else ">"
    at = struct.unpack(order + "I", data[4:8])[0]
    fields = {}
    for n in range(struct.unpack(order + "H", data[at : at + 2])[0]):
        tag, kind, count, raw = struct.unpack(order + "HHI4s", data[at + 2 + 12 * n : at + 14 + 12 * n])
        size = {3: "H", 4: "I"}.get(kind)
        if not size:
            continue
        if count * (2 if size == "H" else 4) > 4:
            where = struct.unpack(order + "I", raw)[0]
            fields[tag] = struct.unpack_from(order + size * count, data, where)
        else:
            fields[tag] = struct.unpack_from(order + size * count, raw)
    if fields[259][0] != 1 or fields[258][0] != 8:
        sys.exit(2)
    pixels = b"".join(data[a : a + n] for a, n in zip(fields[273], fields[279]))
    width = fields[256][0]
    return width, [pixels[y * width : (y + 1) * width] for y in range(fields[257][0])]


def main():
    if len(sys.argv) < 2 or not all(map(shutil.which, ["gs", "pdfinfo"])):
        print("outside-plates: name a PDF; gs and pdfinfo must be installed", file=sys.stderr)
        return 2
    pdf, wanted = sys.argv[1], sys.argv[2:]
    told = subprocess.run(["pdfinfo", "-box", pdf], capture_output=True, text=True, check=True).stdout
    boxes = {w: list(map(float, n.split())) for w, n in re.findall(r"(\w+)Box:\s+([\d. ]+)", told)}
    beyond = int((boxes["Media"][3] - boxes["Bleed"][3]) / 72 * DPI) - 1
    bad = 0
    with tempfile.TemporaryDirectory() as folder:
        command = ["gs", "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER", "-sDEVICE=tiffsep", "-sCompression=none"]
        command += [f"-r{DPI}", "-dLastPage=1", "-o", os.path.join(folder, "page.tif"), pdf]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        plates = {re.search(r"\((.*)\)", p)[1]: p for p in glob.glob(os.path.join(folder, "*(*).tif"))}
        for ink in ["Cyan", "Magenta", "Yellow", "Black", *wanted]:
            if ink not in plates:
                print(f"FAIL {pdf}: no plate for {ink}", file=sys.stderr)
                bad = 1
        for ink, path in sorted(plates.items()):
            width, rows = shades(path)
            marks = sum(1 for row in rows[:beyond] for shade in row if shade < 128)
            print(f"{ink}: {marks} dots of marks above the bleed")
            if not marks:
                print(f"FAIL {pdf}: no mark on the plate of {ink}", file=sys.stderr)
                bad = 1
    return bad


sys.exit(main())
