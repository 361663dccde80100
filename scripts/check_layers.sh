#!/bin/bash
# The dependency rule, held against every #include: a capability uses only
# what scripts/layers.txt allows it; the core touches nothing outside itself;
# only the notebook speaks SQL.
#   scripts/check_layers.sh [TREE]
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
cd "${1:-$here/..}"
layers=scripts/layers.txt
bad=0
complain() {
    echo "layers: $1" >&2
    bad=1
}

outside='sqlite3\.h|sys/.*|time\.h|unistd\.h|fcntl\.h|jansson\.h|nlopt\.h|netinet/.*|arpa/.*|poll\.h|pthread\.h|threads\.h|signal\.h|locale\.h|dirent\.h'
calls='fopen|freopen|fdopen|open|printf|fprintf|vprintf|vfprintf|puts|fputs|putchar|fwrite|fread|getenv|secure_getenv|setlocale|time|clock|clock_gettime|rand|srand|exit|system|popen|malloc|calloc|realloc|free'

owner_of() { # public header -> capability
    sed -n "s/^header $1: *//p" "$layers" | grep . || echo "$1"
}
files_of() { # capability -> its sources and public headers
    find "src/$1" -name '*.[ch]' | sort
    for header in include/pannage/*.h; do
        [ -e "$header" ] || continue
        [ "$(owner_of "$(basename "$header" .h)")" != "$1" ] || echo "$header"
    done
}
includes_in() { # file -> "name" and <name>
    sed -nE 's/^[[:space:]]*#[[:space:]]*include[[:space:]]*["<]([^">]*)[">].*/\1/p' "$1"
}
# Comments and strings away, so that a word in a sentence is no call.
code_of() {
    sed -E 's/"(\\.|[^"\\])*"/""/g; s,//.*,,' "$1" |
        awk '{ line = $0
               while (1) {
                   if (!inside) {
                       at = index(line, "/*")
                       if (!at) { printf "%s\n", line; break }
                       printf "%s ", substr(line, 1, at - 1)
                       line = substr(line, at + 2); inside = 1
                   }
                   at = index(line, "*/")
                   if (!at) { printf "\n"; break }
                   line = substr(line, at + 2); inside = 0
               } }'
}

check_include() { # capability kind allowed file include
    case $5 in
    pannage/*.h)
        local owner
        owner=$(owner_of "$(basename "$5" .h)")
        [[ " $1 $3 " == *" $owner "* ]] ||
            complain "$4: $1 must not include $5"
        ;;
    */*.h)
        if [ -d "src/${5%%/*}" ] && [ "${5%%/*}" != "$1" ]; then
            complain "$4: $5 is private to ${5%%/*}"
        fi
        ;;
    esac
    if [ "$2" = core ] && [[ $5 =~ ^($outside)$ ]]; then
        complain "$4: the core must not include <$5>"
    fi
    if [ "$1" != notebook ] && [ "$5" = sqlite3.h ]; then
        complain "$4: only notebook includes <sqlite3.h>"
    fi
}

check_calls() { # capability file
    local except=
    # base is the one door to the heap
    [ "$2" != src/base/alloc.c ] || except='malloc|calloc|realloc|free'
    local found
    found=$(code_of "$2" |
        grep -noE "(^|[^A-Za-z0-9_.>])($calls)[[:space:]]*\(" |
        { [ -z "$except" ] && cat || grep -vE "($except)[[:space:]]*\("; } |
        sed -E 's/^([0-9]+):[^A-Za-z_]*/\1: /' || true)
    [ -z "$found" ] || complain "$2: the core must not call
$found"
}

for dir in src/*/; do
    capability=$(basename "$dir")
    line=$(grep -E "^(core|shell) $capability:" "$layers" || true)
    if [ -z "$line" ]; then
        complain "src/$capability is not in $layers"
        continue
    fi
    kind=${line%% *}
    allowed=${line#*:}
    while IFS= read -r file; do
        while IFS= read -r include; do
            check_include "$capability" "$kind" "$allowed" "$file" "$include"
        done < <(includes_in "$file")
        [ "$kind" != core ] || check_calls "$capability" "$file"
    done < <(files_of "$capability")
done
exit $bad
