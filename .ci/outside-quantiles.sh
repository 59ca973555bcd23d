#!/bin/bash
# Computes the quantiles of tests/published/quantiles.csv again with SciPy, in an environment of its own.
#   .ci/outside-quantiles.sh
# Needs python3 with venv and the Python package registry. Exit: 0 the same, 1 something differs, 2 cannot judge.
set -euo pipefail
cd "$(dirname "$0")/.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
stop() {
    echo "outside-quantiles: $1" >&2
    exit 2
}
python3 -m venv "$work/env" >"$work/said" 2>&1 || { cat "$work/said" >&2; stop "no environment for Python can be made"; }
"$work/env/bin/pip" install --quiet --disable-pip-version-check --only-binary :all: 'scipy>=1.15,<2' >"$work/said" 2>&1 ||
    { cat "$work/said" >&2; stop "SciPy cannot be installed"; }
"$work/env/bin/python" .ci/outside-quantiles.py tests/published/quantiles.csv
