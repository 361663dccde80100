#!/bin/bash
# Runs every benchmark of a build, each printing JSON lines, then the
# comparisons (bench/compare_*.sh).
#   scripts/bench.sh [BUILD_FOLDER [BASE_BUILD_FOLDER]]
# With a second folder, the benchmarks of both builds run in turn, so that a
# change is measured against its base on one machine in one sitting.
set -euo pipefail
cd "$(dirname "$0")/.."
build=${1:-build/gcc}
base=${2:-}
[ -x "$build/pannage" ] || { echo "bench: no build in $build" >&2; exit 1; }
scratch="$build/bench"
mkdir -p "$scratch"
bad=0
run() { # label command...
    local label=$1
    shift
    if ! "$@" >"$scratch/line"; then
        echo "bench: $* failed" >&2
        bad=1
    fi
    sed "s|^{|{$label|" "$scratch/line"
}

count=0
for source in bench/bench_*.c; do
    [ -e "$source" ] || continue
    name=$(basename "$source" .c)
    count=$((count + 1))
    if [ -n "$base" ] && [ -x "$base/$name" ]; then
        run '"build":"base",' "$base/$name"
        run '"build":"change",' "$build/$name"
    else
        run '' "$build/$name"
    fi
done
[ $count -gt 0 ] || { echo "bench: nothing to run" >&2; exit 1; }
for compare in bench/compare_*.sh; do
    [ ! -e "$compare" ] || bash "$compare" "$build/bench_season" || bad=1
done
exit $bad
