#!/bin/bash
# Runs every fuzzer for the given seconds, each from a copy of its saved
# inputs, so that the checkout is never written to. What makes one fail is
# kept in build/fuzz/found/; minimise it and save it in tests/fuzz/corpus/.
#   scripts/fuzz.sh [SECONDS [ENTRY ...]]
set -euo pipefail
cd "$(dirname "$0")/.."
seconds=${1:-30}
shift || true
jobs=$(nproc 2>/dev/null || echo 2)

entries=("$@")
if [ ${#entries[@]} -eq 0 ]; then
    for source in tests/fuzz/fuzz_*.c; do
        [ -e "$source" ] || { echo "fuzz: no fuzzer in tests/fuzz" >&2; exit 1; }
        name=$(basename "$source" .c)
        entries+=("${name#fuzz_}")
    done
fi
scripts/build.sh fuzz "${entries[@]/#/fuzz_}"
mkdir -p build/fuzz/found

fuzz_one() {
    local entry=$1 seconds=$2
    local saved="tests/fuzz/corpus/$entry" work="build/fuzz/work/$entry"
    local log="build/fuzz/$entry.log"
    if [ -z "$(ls "$saved" 2>/dev/null)" ]; then
        echo "fuzz: $entry has no saved input in $saved" >&2
        return 1
    fi
    mkdir -p "$work"
    cp "$saved"/* "$work"/
    if ! "build/fuzz/fuzz_$entry" -max_total_time="$seconds" -timeout=10 \
        -rss_limit_mb=1024 -print_final_stats=1 -max_len=65536 \
        -artifact_prefix="build/fuzz/found/$entry-" "$work" >"$log" 2>&1; then
        grep -vE '^#[0-9]+' "$log" | tail -n 40 >&2
        echo "fuzz: $entry failed; the input is in build/fuzz/found/" >&2
        return 1
    fi
    echo "fuzz: $entry: $(sed -n 's/stat::number_of_executed_units: *//p' "$log") inputs, none failed"
}
export -f fuzz_one
printf '%s\0' "${entries[@]}" |
    xargs -0 -P "$jobs" -I{} bash -c 'set -euo pipefail; fuzz_one "$1" "$2"' \
        _ {} "$seconds"
