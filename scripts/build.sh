#!/bin/sh
# Configures and builds one preset: quiet when nobody watches, told in full
# when it fails.
#   scripts/build.sh PRESET [TARGET ...]
set -eu
cd "$(dirname "$0")/.."
preset=$1
shift
mkdir -p build
log="build/configure-$preset.log"
if ! cmake --preset "$preset" -Wno-dev >"$log" 2>&1; then
    cat "$log" >&2
    exit 1
fi
if [ -t 1 ]; then
    quiet=
else
    quiet=--quiet
    echo "building ($preset)"
fi
# shellcheck disable=SC2086 # $quiet is one word or none
cmake --build --preset "$preset" ${*:+--target "$@"} -- $quiet
