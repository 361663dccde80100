#!/bin/bash
# Every public header compiles alone, under the strict flags, with gcc and
# (where there is one) clang.
#   scripts/check_headers.sh [INCLUDE_FOLDER]
set -euo pipefail
include=${1:-$(dirname "$0")/../include}
flags=(-std=c17 -D_POSIX_C_SOURCE=200809L -Wall -Wextra -Wpedantic -Wshadow
    -Wundef -Wvla -Wcast-qual -Wcast-align -Wwrite-strings -Wformat=2
    -Wstrict-prototypes -Wmissing-prototypes -Wconversion -Wfloat-equal
    -Wswitch-enum -Werror -fsyntax-only -I "$include")
bad=0
count=0
for header in "$include"/pannage/*.h; do
    [ -e "$header" ] || continue
    count=$((count + 1))
    for compiler in gcc clang; do
        command -v $compiler >/dev/null || continue
        # twice: the include guard must hold too
        if ! printf '#include "pannage/%s"\n#include "pannage/%s"\n' \
            "$(basename "$header")" "$(basename "$header")" |
            $compiler "${flags[@]}" -x c -; then
            echo "headers: $(basename "$header") does not compile alone" \
                "with $compiler" >&2
            bad=1
        fi
    done
done
if [ $count -eq 0 ]; then
    echo "headers: no header in $include/pannage" >&2
    bad=1
fi
exit $bad
