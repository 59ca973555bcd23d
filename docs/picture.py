"""Draws docs/low-tide-label.png: both parts of the sample label, cut to shape, on a bench-coloured ground.

Run from the project's folder after `cargo build --release`; needs poppler-utils and Pillow:
    python3 docs/picture.py
"""
import pathlib, subprocess, tempfile
from PIL import Image, ImageDraw

DPI = 220
with tempfile.TemporaryDirectory() as folder:
    pdf = pathlib.Path(folder, "label.pdf")
    subprocess.run(["target/release/waxbill", "label", "samples/quillmere/products/low-tide.yaml", "--lot", "26329A4",
                    "--on", "2026-11-25", "-o", pdf], check=True, stdout=subprocess.DEVNULL)
    subprocess.run(["pdftoppm", "-r", str(2 * DPI), "-png", pdf, pathlib.Path(folder, "page")], check=True)
    front, base = (Image.open(p).convert("RGB") for p in sorted(pathlib.Path(folder).glob("page*.png")))

def cut(image, corner):
    mask = Image.new("L", image.size, 0)
    ImageDraw.Draw(mask).rounded_rectangle([0, 0, image.width - 1, image.height - 1], corner, fill=255)
    return image, mask

gap = 80
height = max(front.height, base.height)
ground = Image.new("RGB", (front.width + base.width + 3 * gap, height + 2 * gap), (214, 205, 190))
x = gap
for image, mask in (cut(front, round(3 / 25.4 * 2 * DPI)), cut(base, base.width // 2)):
    ground.paste(image, (x, gap + (height - image.height) // 2), mask)
    x += image.width + gap
ground.resize((ground.width // 2, ground.height // 2), Image.LANCZOS).quantize(64).save("docs/low-tide-label.png", optimize=True)
