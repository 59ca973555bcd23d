"""The factors of Student's t and of the non-central t that fill control needs, from SciPy.

    .ci/outside-quantiles.py            prints the table
    .ci/outside-quantiles.py FILE       compares it with FILE, tests/published/quantiles.csv; exit 1 where they differ

Columns: n, then t(p, n-1) for p = 0.95, 0.975, 0.995, then the one-sided tolerance factor for 97.5 % of units with 95 %
confidence: the 0.95 quantile of the non-central t with n-1 degrees of freedom and noncentrality z(0.975) sqrt(n), over
sqrt(n) (from n = 3 to 60).
"""
import math
import sys

from scipy.stats import nct, norm, t

rows = ["n,t_95,t_975,t_995,k_975_95"]
for n in [*range(2, 61), 64, 80, 96, 100, 125, 160, 200, 500]:
    k = nct.ppf(0.95, n - 1, norm.ppf(0.975) * math.sqrt(n)) / math.sqrt(n) if 3 <= n <= 60 else math.nan
    quantiles = [f"{t.ppf(p, n - 1):.6f}" for p in (0.95, 0.975, 0.995)]
    rows.append(",".join([str(n), *quantiles, "" if math.isnan(k) else f"{k:.4f}"]))

if len(sys.argv) == 1:
    print("\n".join(rows))
    sys.exit()
stored = [line for line in open(sys.argv[1], encoding="utf-8").read().splitlines() if not line.startswith("#")]
different = [(a, b) for a, b in zip(rows, stored, strict=False) if a != b]
for a, b in different:
    print(f"computed {a}, stored {b}")
print(f"{len(rows) - 1} rows computed, {len(stored) - 1} stored, {len(different)} different")
sys.exit(bool(different) or len(rows) != len(stored))
