#!/usr/bin/env bash
# The season kernel against its numpy twin, one core each, on the same drivers:
# cell-days per second of both, their ratio, the largest difference of N.
#   bench/compare_season.sh PATH/TO/bench_season
# Fails when a result differs by more than 1e-9 or, at 4096 cells, the fungus
# kernel is not 5 times as fast. PYTHON names the interpreter that has numpy.
set -eu
bench=${1:?path of the built bench_season}
python=${PYTHON:-/usr/bin/python3}
here=$(cd "$(dirname "$0")" && pwd)
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1

figure() { # LINE NAME -> the number
    sed -n "s/.*\"$2\": *\([0-9.e+-]*\).*/\1/p" <<<"$1"
}

failed=0
for run in "penny_bun 4096" "beech_nuts 4096" "hop_cones 4096" "penny_bun 200"; do
    read -r kind cells <<<"$run"
    ours=$("$bench" "$kind" "$cells" 365 "$scratch")
    theirs=$("$python" "$here/peers/season_numpy.py" "$scratch" --rounds 5)
    again=$("$bench" "$kind" "$cells" 365) # both sides get a quiet moment
    echo "$ours"
    echo "$theirs"
    awk -v kind="$kind" -v cells="$cells" \
        -v a="$(figure "$ours" cell_days_per_s)" \
        -v b="$(figure "$again" cell_days_per_s)" \
        -v n="$(figure "$theirs" cell_days_per_s)" \
        -v d="$(figure "$theirs" max_difference)" 'BEGIN {
            best = a + 0 > b + 0 ? a : b
            printf "%s, %d cells x 365 days: pannage %.1f M/s, numpy %.1f M/s, ", \
                kind, cells, best / 1e6, n / 1e6
            printf "%.1f times; largest difference %.1e\n", best / n, d
            slow = kind == "penny_bun" && cells == 4096 && best < 5 * n
            exit slow || d > 1e-9
        }' || failed=1
done
exit $failed
