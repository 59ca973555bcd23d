#!/bin/bash
# Measures numbered labels on sheets beside the least work that gives the same sheets, and writes the table into
# benches/README.md. Environment: RUNS (3), UNITS ("100 1000 10000"), PEERS: a Python with benches/peers/requirements.txt (and
# the library libqrencode on the machine), for the rows of general tools. Quote ratios of one run, not seconds of two.
set -euo pipefail
export LC_ALL=C.UTF-8 RUNS=${RUNS:-3} UNITS=${UNITS:-100 1000 10000}
cd "$(dirname "$0")/.."
target=${CARGO_TARGET_DIR:-$PWD/target}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

cargo build --release --locked --quiet
cargo build --release --locked --quiet --manifest-path benches/bare/Cargo.toml --target-dir "$target/bare"
export WAXBILL=$target/release/waxbill BARE=$target/bare/release/bare WORK=$work
export PRODUCT=samples/quillmere/products/low-tide.yaml
"$WAXBILL" label "$PRODUCT" --lot 26329A4 --show page >"$work/pages.json"

{
    echo "Machine: $(nproc) cores, $(sed -n 's/^model name[^:]*: //p' /proc/cpuinfo | head -n 1)," \
        "load $(cut -d' ' -f1-3 /proc/loadavg) at the start. $(date -u +%F), commit" \
        "$(git rev-parse --short HEAD 2>/dev/null || echo unknown). Medians of $RUNS runs in turns."
    echo
    python3 - <<'PY'
import os, statistics, subprocess, time
env = os.environ
work, waxbill, product = env["WORK"], env["WAXBILL"], env["PRODUCT"]
tools = ("cairo", "reportlab", "typst") if env.get("PEERS") else ()
print("| labels | tool | wall s, median | least | most | CPU s | peak MB | file kB | x bare writer |\n|---|---|---|---|---|---|---|---|---|")
for units in env["UNITS"].split():
    out = {name: os.path.join(work, name + ".pdf") for name in ("bare", "waxbill", *tools)}
    rows = {
        "bare": [env["BARE"], os.path.join(work, "pages.json"), out["bare"], "26329A4", units],
        "waxbill": [waxbill, "label", product, "--lot", "26329A4", "--part", "base", "--sheet", "a4-2x4-round",
                    "--serial", "1.." + units, "-o", out["waxbill"]],
    }
    for tool in tools:
        rows[tool] = [env["PEERS"], "benches/peers/draw.py", tool, os.path.join(work, "pages.json"), out[tool], "26329A4", units]
    took, cpu, peak = ({name: [] for name in rows} for _ in range(3))
    for turn in range(int(env["RUNS"])):
        for name, command in rows.items():
            began = time.perf_counter()
            process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stdin=subprocess.DEVNULL)
            _, status, usage = os.wait4(process.pid, 0)
            if status:
                raise SystemExit("%s ended with %d" % (name, status))
            took[name].append(time.perf_counter() - began)
            cpu[name].append(usage.ru_utime + usage.ru_stime)
            peak[name].append(usage.ru_maxrss / 1000)
    least = statistics.median(took["bare"])
    said = {"bare": "bare writer", "waxbill": "`waxbill label --serial`, read back"}
    said.update({tool: tool + ", codes by libqrencode" for tool in tools})
    for name in rows:
        median = statistics.median(took[name])
        print("| %s | %s | %.3f | %.3f | %.3f | %.2f | %.0f | %.0f | %.2f |" % (
            units, said[name], median, min(took[name]), max(took[name]), statistics.median(cpu[name]),
            max(peak[name]), os.path.getsize(out[name]) / 1000, median / least))
PY
} | tee "$work/table"

python3 - "$work/table" <<'PY'
import sys
page, table = "benches/README.md", open(sys.argv[1], encoding="utf-8").read()
text = open(page, encoding="utf-8").read()
begin, end = "<!-- sheets -->\n", "<!-- end of sheets -->\n"
head, rest = text.split(begin)
_, tail = rest.split(end)
open(page, "w", encoding="utf-8").write(head + begin + table + end + tail)
PY
