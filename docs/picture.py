"""Draws the pictures of the README: the parts of sample labels, cut to shape, on a bench-coloured ground.

Run from the project's folder after a build, as docs/contact.py, whose parts it uses:
    python3 docs/picture.py
"""
import json, pathlib, subprocess, tempfile
from PIL import Image
from contact import GROUND, PROGRAM, SAMPLES, pictures

# Which sample in which market, at how many dots per inch.
DRAWN = {"low-tide": ("us", "jar-front-and-base", 220), "sea-thrift": ("eu", "jar-wrap", 150), "tidewrack": ("ca", "jar-two-languages", 150)}
GAP = 40

for name, (market, template, dpi) in DRAWN.items():
    with tempfile.TemporaryDirectory() as folder:
        pdf = pathlib.Path(folder, "label.pdf")
        run = subprocess.run([PROGRAM, "label", SAMPLES / f"products/{name}.yaml", "--market", market, "--lot", "26329A4",
                              "--on", "2026-11-25", "--json", "-o", pdf], check=True, capture_output=True, text=True)
        parts = [p["part"] for p in json.loads(run.stdout)["parts"]]
        images = pictures(pdf, parts, pathlib.Path(f"templates/{template}.yaml").read_text(), dpi)
    height = max(i.height for i in images)
    ground = Image.new("RGB", (sum(i.width + GAP for i in images) + GAP, height + 2 * GAP), GROUND)
    x = GAP
    for image in images:
        ground.paste(image, (x, GAP + (height - image.height) // 2))
        x += image.width + GAP
    ground.quantize(64).save(f"docs/{name}-label.png", optimize=True)
