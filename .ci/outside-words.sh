#!/bin/bash
# Compares the words waxbill reads in the PDFs of other programs with those of poppler: outside-words.sh
#
# Words and the left edge of each must agree within 0.5 mm; ligatures and hyphens of all kinds count alike.
set -euo pipefail
cd "$(dirname "$0")/.."
cargo run --quiet --locked --example words -- tests/foreign/*.pdf >"$1/ours.txt"
python3 - "$1/ours.txt" tests/foreign/*.pdf <<'PY'
import html, re, subprocess, sys, unicodedata
plain = lambda t: unicodedata.normalize("NFKC", t).replace("\u2011", "-").replace("\u2010", "-").replace("\u00ad", "")
ours = {}
for line in open(sys.argv[1], encoding="utf-8"):
    file, page, left, word = line.rstrip("\n").split("\t")
    ours.setdefault((file, int(page)), []).append((plain(word), float(left)))
compared, bad = 0, 0
for file in sys.argv[2:]:
    done = subprocess.run(["pdftotext", "-bbox", file, "-"], capture_output=True, text=True)
    if done.returncode:
        continue  # asks for a password
    for number, page in enumerate(done.stdout.split("<page ")[1:], 1):
        if 'rotate' in page.split(">")[0]:
            continue
        theirs = [(plain(html.unescape(w)), float(x) * 25.4 / 72) for x, w in re.findall(r'<word xMin="([\d.-]+)"[^>]*>(.*?)</word>', page)]
        # Letters nobody can name are nothing to compare, and the pages of `turned` are turned by us.
        if "no-unicode" in file or "turned" in file or not theirs:
            continue
        mine = list(ours.get((file, number), []))
        for word, left in theirs:
            compared += 1
            near = [m for m in mine if m[0] == word and abs(m[1] - left) < 0.5]
            if near:
                mine.remove(near[0])
            else:
                bad += 1
                print(f"{file} page {number}: poppler reads `{word}` at {left:.1f} mm, waxbill does not")
        for word, left in mine:
            bad += 1
            print(f"{file} page {number}: waxbill reads `{word}` at {left:.1f} mm, poppler does not")
print(f"{compared} words compared, {bad} differ")
sys.exit(bad > 0 or compared < 500)
PY
