#!/bin/bash
# Measures waxbill beside the least work that gives the same file, and writes the tables into benches/README.md.
#   benches/run.sh            about 10 minutes the first time, most of it building
# Environment: RUNS (41) of every process, ROUNDS (200) of every stage. Quote ratios of one run, not seconds of two.
set -euo pipefail
export LC_ALL=C.UTF-8 RUNS=${RUNS:-41} ROUNDS=${ROUNDS:-200}
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
        "$(awk '/MemTotal/{printf "%.0f GB", $2/1e6}' /proc/meminfo), Linux $(uname -r)," \
        "load $(cut -d' ' -f1-3 /proc/loadavg) at the start. $(rustc --version). $(date -u +%F), commit" \
        "$(git rev-parse --short HEAD 2>/dev/null || echo unknown)."
    echo
    python3 - <<'PY'
import os, statistics, subprocess, time
env = os.environ
work, waxbill, product = env["WORK"], env["WAXBILL"], env["PRODUCT"]
out = os.path.join(work, "out.pdf")
rows = {
    "`true` (start of a process)": ["true"],
    "bare writer, the same two pages": [env["BARE"], os.path.join(work, "pages.json"), os.path.join(work, "bare.pdf")],
    "`waxbill needs`": [waxbill, "needs", product],
    "`waxbill check`": [waxbill, "check", product],
    "`waxbill label`": [waxbill, "label", product, "--lot", "26329A4", "-o", out],
}
took = {name: [] for name in rows}
for turn in range(int(env["RUNS"]) + 2):
    for name, command in rows.items():
        began = time.perf_counter()
        subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, stdin=subprocess.DEVNULL, check=True)
        if turn > 1:                       # the first two turns warm up
            took[name].append((time.perf_counter() - began) * 1e3)
median = {name: statistics.median(times) for name, times in took.items()}
least = median["bare writer, the same two pages"]
print("| whole process, %s runs in turns | ms, median | least | most | x bare writer |\n|---|---|---|---|---|" % env["RUNS"])
for name, times in took.items():
    print("| %s | %.1f | %.1f | %.1f | %.2f |" % (name, median[name], min(times), max(times), median[name] / least))
size = lambda f: os.path.getsize(os.path.join(work, f)) / 1000
print("\nFiles: bare writer %.1f kB, `waxbill label` %.1f kB." % (size("bare.pdf"), size("out.pdf")))
PY
    echo
    cargo bench --quiet --locked --bench stages
    echo
    cargo bench --quiet --locked --bench hazard
} | tee "$work/table"

python3 - "$work/table" <<'PY'
import sys
page, table = "benches/README.md", open(sys.argv[1], encoding="utf-8").read()
text = open(page, encoding="utf-8").read()
begin, end = "<!-- measured -->\n", "<!-- end -->\n"
head, rest = text.split(begin)
_, tail = rest.split(end)
open(page, "w", encoding="utf-8").write(head + begin + table + end + tail)
PY
