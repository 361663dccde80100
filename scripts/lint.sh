#!/bin/bash
# The checks that need no test run. Without arguments all of them.
#   scripts/lint.sh [format] [warnings] [tidy] [layers] [globals] [headers]
set -euo pipefail
cd "$(dirname "$0")/.."
jobs=$(nproc 2>/dev/null || echo 2)

sources() {
    find src include tests bench -name '*.[ch]' -not -name schema_text.h -print0
}

check_format() {
    local version
    version=$(clang-format --version | grep -oE 'version [0-9]+' | cut -d' ' -f2)
    if [ "$version" != 14 ]; then
        echo "format: clang-format $version may disagree with the pinned 14" >&2
    fi
    sources | xargs -0 clang-format --dry-run -Werror
}

check_warnings() {
    scripts/build.sh gcc
    scripts/build.sh clang
}

# One file, unless it passed before with the same headers, flags and checks.
tidy_one() {
    local file=$1 key
    key=$(cat "$file" build/tidy/common | sha256sum | cut -d' ' -f1)
    [ ! -e "build/tidy/$key" ] || return 0
    local log="build/tidy/log.$$"
    if ! clang-tidy --quiet -p build/clang "$file" >"$log" 2>/dev/null; then
        grep 'error:' "$log" | sort -u >&2 || cat "$log" >&2
        rm -f "$log"
        echo "tidy: $file" >&2
        return 1
    fi
    rm -f "$log"
    touch "build/tidy/$key"
}
export -f tidy_one

# Only the groups named in WarningsAsErrors stop; the rest is advice.
check_tidy() {
    mkdir -p build/tidy
    cmake --preset clang >build/tidy/configure.log 2>&1 ||
        { cat build/tidy/configure.log >&2; return 1; }
    { find include src -name '*.h' -print0 | sort -z | xargs -0 cat
        cat .clang-tidy CMakeLists.txt
        clang-tidy --version; } >build/tidy/common
    find src bench -name '*.c' -print0 | sort -z |
        xargs -0 -P "$jobs" -I{} bash -c 'set -euo pipefail; tidy_one "$1"' _ {}
}

check_layers() { scripts/check_layers.sh; }
check_headers() { scripts/check_headers.sh; }
check_globals() {
    [ -e build/gcc/libpn_base.a ] || scripts/build.sh gcc
    scripts/check_no_globals.sh build/gcc
}

[ $# -gt 0 ] || set -- format warnings tidy layers globals headers
for step in "$@"; do
    echo "lint: $step"
    "check_$step"
done
