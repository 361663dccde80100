#!/bin/bash
# Runs the proofs of the check and writes their numbers into the tables of
# docs/check-proof.md: the guide's own specimens, the open table of 173
# mushrooms beside its peers, and the speed. Takes about ten minutes.
#   scripts/check_proof.sh [BUILD_FOLDER [SPECIMENS_OF_EACH_DANGEROUS_KIND]]
# What the programs printed stays in BUILD_FOLDER/proof. Exit code 1 when a
# proof fails; the tables then show what failed.
set -euo pipefail
cd "$(dirname "$0")/.."
build=${1:-build/gcc}
specimens=${2:-200}
python=${PYTHON:-/usr/bin/python3}
table=tests/ref/check
bad=0

run() { # NAME COMMAND...
    local name=$1 start=$SECONDS
    shift
    echo "check-proof: $name" >&2
    "$@" >"$build/proof/$name.txt" || { echo "check-proof: $name fails" >&2; bad=1; }
    echo "check-proof: $name took $((SECONDS - start)) s" >&2
}

mkdir -p "$build/proof"
run guide "$build/truth_guide" "$specimens"
run mushrooms "$build/truth_mushrooms" "$table"
run cross "$build/truth_cross_check" "$table"
while IFS= read -r difference; do
    grep -qF "| ${difference% |} |" docs/guide-cross-check.md || {
        echo "check-proof: docs/guide-cross-check.md says nothing of:" \
            "$difference" >&2
        bad=1
    }
done < <(grep -oE '^[a-z_]+ \| [^|]+ \|' "$build/proof/cross.txt" || true)
run peers "$python" bench/peers/mushrooms_sklearn.py "$table"
run bench "$build/bench_check"
"$python" scripts/check_proof.py "$build/proof" docs/check-proof.md
exit $bad
