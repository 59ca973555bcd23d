#!/bin/bash
# Measures reading a label beside outside extractors of text, and writes the table into benches/README.md.
# Environment: RUNS (11). Needs pdftotext (poppler) and mutool (MuPDF); a row is left out where the tool is not there.
set -euo pipefail
export LC_ALL=C.UTF-8 RUNS=${RUNS:-11}
cd "$(dirname "$0")/.."
target=${CARGO_TARGET_DIR:-$PWD/target}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

cargo build --release --locked --quiet
export WAXBILL=$target/release/waxbill WORK=$work
export LOW_TIDE=samples/quillmere/products/low-tide.yaml SEA_THRIFT=samples/quillmere/products/sea-thrift.yaml
"$WAXBILL" label "$LOW_TIDE" --lot 26329A4 -o "$work/low-tide.pdf" >/dev/null
"$WAXBILL" label "$SEA_THRIFT" --market gb --lot 26329A4 -o "$work/sea-thrift.pdf" >/dev/null
"$WAXBILL" label "$LOW_TIDE" --lot 26329A4 --part base --sheet a4-2x4-round --serial 1..200 -o "$work/sheets.pdf" >/dev/null

{
    echo "Machine: $(nproc) cores, $(sed -n 's/^model name[^:]*: //p' /proc/cpuinfo | head -n 1)," \
        "load $(cut -d' ' -f1-3 /proc/loadavg) at the start. $(date -u +%F), commit" \
        "$(git rev-parse --short HEAD 2>/dev/null || echo unknown). Medians of $RUNS runs in turns."
    for tool in "pdftotext -v" "mutool -v"; do
        ${tool} 2>&1 | head -n 1 || true
    done | sed 's/^/- /'
    echo
    python3 - <<'PY'
import os, shutil, statistics, subprocess, time
env = os.environ
work, waxbill = env["WORK"], env["WAXBILL"]
files = (("low-tide.pdf", "Low Tide, two parts", 2, env["LOW_TIDE"], ["--market", "us"]),
         ("sea-thrift.pdf", "Sea Thrift for gb, three parts", 3, env["SEA_THRIFT"], ["--market", "gb"]),
         ("sheets.pdf", "25 sheets of 8 numbered labels", 25, env["LOW_TIDE"], ["--market", "us"]))
print("| file | tool | ms, median | least | most | ms a page | peak MB | x pdftotext |\n|---|---|---|---|---|---|---|---|")
for name, what, pages, product, market in files:
    path = os.path.join(work, name)
    rows = {
        "`pdftotext -bbox` (words and boxes)": ["pdftotext", "-bbox", path, "/dev/null"],
        "`mutool draw -F stext` (letters and boxes)": ["mutool", "draw", "-q", "-F", "stext", "-o", "/dev/null", path],
        "`waxbill check --label` (read, QR decoded, judged)":
            [waxbill, "check", product, *market, "--label", path, "--lot", "26329A4"],
    }
    rows = {tool: command for tool, command in rows.items() if shutil.which(command[0])}
    took, peak = ({tool: [] for tool in rows} for _ in range(2))
    for turn in range(int(env["RUNS"]) + 1):
        for tool, command in rows.items():
            began = time.perf_counter()
            process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, stdin=subprocess.DEVNULL)
            _, status, usage = os.wait4(process.pid, 0)
            if os.waitstatus_to_exitcode(status) not in (0, 1):
                raise SystemExit("%s ended with %d" % (tool, status))
            if turn:
                took[tool].append((time.perf_counter() - began) * 1000)
                peak[tool].append(usage.ru_maxrss / 1000)
    least = statistics.median(next(iter(took.values())))
    for tool in rows:
        median = statistics.median(took[tool])
        print("| %s | %s | %.1f | %.1f | %.1f | %.2f | %.0f | %.2f |" % (
            what, tool, median, min(took[tool]), max(took[tool]), median / pages, max(peak[tool]), median / least))
PY
} | tee "$work/table"

python3 - "$work/table" <<'PY'
import sys
page, table = "benches/README.md", open(sys.argv[1], encoding="utf-8").read()
text = open(page, encoding="utf-8").read()
begin, end = "<!-- reading -->\n", "<!-- end of reading -->\n"
head, rest = text.split(begin)
_, tail = rest.split(end)
open(page, "w", encoding="utf-8").write(head + begin + table + end + tail)
PY
