#!/bin/bash
# The libraries keep no writable state: .data, .bss and their kin are empty in
# every object of every archive. Needs a build without sanitizers.
#   scripts/check_no_globals.sh BUILD_FOLDER
set -euo pipefail
build=${1:?usage: check_no_globals.sh BUILD_FOLDER}
shopt -s nullglob
archives=("$build"/lib*.a)
if [ ${#archives[@]} -eq 0 ]; then
    echo "globals: no lib*.a in $build: build it first" >&2
    exit 1
fi
# .data.rel.ro is read-only once the program runs; a table of strings lands there
found=$(size -A "${archives[@]}" | awk '
    /:$/ { object = $1 }
    $1 ~ /^\.(data|bss|tdata|tbss)(\.|$)/ && $1 !~ /^\.data\.rel\.ro/ && $2 > 0 {
        print object, $1, $2, "bytes"
    }')
if [ -n "$found" ]; then
    printf 'globals: writable state in a library:\n%s\n' "$found" >&2
    exit 1
fi
