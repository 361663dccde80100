#!/bin/bash
# A check that cannot fail proves nothing: each is shown a small bad tree and
# must refuse it, and the same tree put right and must accept it.
#   tests/scripts/test_checks.sh SCRATCH_FOLDER
set -euo pipefail
root=$(cd "$(dirname "$0")/../.." && pwd)
rm -rf "$1"
mkdir -p "$1"
scratch=$(cd "$1" && pwd)
failed=0
refuses() { # name command...
    local name=$1
    shift
    if "$@" >"$scratch/out" 2>&1; then
        echo "FAILED: accepted: $name"
        failed=1
    fi
}
accepts() {
    local name=$1
    shift
    if ! "$@" >"$scratch/out" 2>&1; then
        echo "FAILED: refused: $name"
        cat "$scratch/out"
        failed=1
    fi
}

# ---- layers: a good tree, then one line at a time makes it bad
tree="$scratch/a tree"
fresh_tree() {
    rm -rf "$tree"
    mkdir -p "$tree"/{scripts,include/pannage,src/{base,sky,notebook}}
    printf 'core base:\ncore sky: base\nshell notebook: base sky\nheader vmath: base\n' \
        >"$tree/scripts/layers.txt"
    printf '#include <stddef.h>\n' >"$tree/include/pannage/base.h"
    printf '#include <math.h>\n' >"$tree/include/pannage/vmath.h"
    printf '#include "pannage/base.h"\n' >"$tree/include/pannage/sky.h"
    printf '#include "pannage/base.h"\n/* once, printf("%%d") and\n time(0) */\n' \
        >"$tree/src/base/base.c"
    printf '#include "pannage/sky.h"\n#include "pannage/vmath.h"\n#include <stdio.h>\nint f(char *b) { return snprintf(b, 1, "time("); }\n' \
        >"$tree/src/sky/sky.c"
    printf '#include <sqlite3.h>\n#include "pannage/sky.h"\n' >"$tree/src/notebook/file.c"
}
layers=("$root/scripts/check_layers.sh" "$tree")
fresh_tree
accepts 'a tree that keeps the layers' "${layers[@]}"
spoil() { # name file line
    fresh_tree
    printf '%s\n' "$3" >>"$tree/$2"
    refuses "$1" "${layers[@]}"
}
spoil 'base includes sky' src/base/base.c '#include "pannage/sky.h"'
spoil 'a public header includes upwards' include/pannage/base.h '#include "pannage/sky.h"'
spoil 'spaces in the directive' src/base/base.c '  #  include "pannage/sky.h"'
spoil 'another one'"'"'s private header' src/notebook/file.c '#include "sky/sky_internal.h"'
spoil 'SQL in the core' src/sky/sky.c '#include <sqlite3.h>'
spoil 'clock header in the core' src/sky/sky.c '#include <time.h>'
spoil 'sockets in the core' include/pannage/sky.h '#include <sys/socket.h>'
spoil 'environment in the core' src/sky/sky.c 'char *e(void) { return getenv("X"); }'
spoil 'a file in the core' src/sky/sky.c 'void *g(void) { return fopen ("x", "r"); }'
spoil 'printing in the core' src/base/base.c 'void h(void) { printf("x"); }'
spoil 'the heap behind pn_alloc' src/sky/sky.c 'void *m(void) { return malloc(1); }'
fresh_tree
mkdir "$tree/src/extra"
refuses 'a folder without a layer' "${layers[@]}"
fresh_tree
mkdir -p "$tree/src/sky" && sed -i '/notebook/s/ sky//' "$tree/scripts/layers.txt"
refuses 'a rule taken away' "${layers[@]}"

# ---- globals
objects="$scratch/objects"
archive() { # C text
    rm -rf "$objects"
    mkdir -p "$objects"
    printf '%s\n' "$1" | gcc -c -x c -o "$objects/a.o" -
    ar rc "$objects/liba.a" "$objects/a.o"
}
globals=("$root/scripts/check_no_globals.sh" "$objects")
archive 'static const char *const n[] = {"a"}; const char *f(int i) { return n[i]; }'
accepts 'constant tables' "${globals[@]}"
archive 'static int n; int f(void) { return n++; }'
refuses 'a counter in .bss' "${globals[@]}"
archive 'int n = 3;'
refuses 'a value in .data' "${globals[@]}"
archive 'static _Thread_local int n; int f(void) { return n++; }'
refuses 'a thread-local counter' "${globals[@]}"
rm -rf "$objects" && mkdir -p "$objects"
refuses 'nothing built' "${globals[@]}"

# ---- headers
headers=("$root/scripts/check_headers.sh" "$scratch/include")
header() {
    mkdir -p "$scratch/include/pannage"
    printf '%s\n' "$1" >"$scratch/include/pannage/a.h"
}
refuses 'no headers' "${headers[@]}"
header '#ifndef A_H
#define A_H
#include <stddef.h>
size_t pn_a(void);
#endif'
accepts 'a header that stands alone' "${headers[@]}"
header 'size_t pn_a(void);'
refuses 'a header that needs another' "${headers[@]}"
header 'typedef struct pn_a { int n; } pn_a;'
refuses 'a header without a guard' "${headers[@]}"

# ---- installing: with stand-ins for dpkg-query and apt-get, so that the
# machine is left alone
stand_in() { # name body
    mkdir -p "$scratch/bin"
    printf '#!/bin/sh\n%s\n' "$2" >"$scratch/bin/$1"
    chmod +x "$scratch/bin/$1"
}
deps=(env PATH="$scratch/bin:$PATH" "$root/scripts/install_deps.sh")
stand_in dpkg-query 'echo installed'
stand_in apt-get "touch '$scratch/apt was called'; exit 100"
stand_in sudo 'exec "$@"'
accepts 'a complete machine' "${deps[@]}" build test lint bench
[ ! -e "$scratch/apt was called" ] || { echo 'FAILED: apt-get on a complete machine'; failed=1; }
refuses 'an unknown group' "${deps[@]}" nonsense
stand_in dpkg-query '[ "$3" != cmake ] || exit 1; echo installed'
stand_in apt-get "echo \"\$@\" >>'$scratch/apt was called'"
accepts 'a machine without cmake' "${deps[@]}" build
grep -q 'install -y --no-install-recommends cmake$' "$scratch/apt was called" ||
    { echo 'FAILED: not just what was missing was installed'; failed=1; }
# apt-get in vain, and the tools are not there either
stand_in apt-get 'exit 100'
for tool in cmake gcc ninja pkg-config; do stand_in $tool 'exit 1'; done
refuses 'tools that cannot be had' "${deps[@]}" build

rm -rf "$scratch"
[ $failed -eq 0 ] && echo 'every check refuses what it should'
exit $failed
