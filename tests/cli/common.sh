# Shared by the scripts here: a scratch folder, a notebook of its own, and a
# few checks that print what went wrong. Usage: . common.sh PROGRAM SCRATCH
set -euo pipefail
pannage=$1
scratch=$2
rm -rf "$scratch"
mkdir -p "$scratch"
export PANNAGE_NOTEBOOK="$scratch/notebook.pannage"
export LC_ALL=C.UTF-8 TZ=UTC
unset COLUMNS NO_COLOR
source_dir=$(pwd)

fail() {
    echo "FAILED: $*" >&2
    exit 1
}

# expect CODE COMMAND...: run it, keep its output, check its exit code
expect() {
    local want=$1 got=0
    shift
    "$@" > "$scratch/out" 2> "$scratch/err" || got=$?
    if [ "$got" -ne "$want" ]; then
        cat "$scratch/out" "$scratch/err" >&2
        fail "exit code $got, not $want: $*"
    fi
}

# says WORDS...: each must be in what the last command complained
says() {
    local words
    for words in "$@"; do
        grep -qF -- "$words" "$scratch/err" ||
            fail "no '$words' in: $(cat "$scratch/err")"
    done
}

# prints WORDS...: each must be in what the last command printed
prints() {
    local words
    for words in "$@"; do
        grep -qF -- "$words" "$scratch/out" ||
            fail "no '$words' in: $(head -c 2000 "$scratch/out")"
    done
}

one_line_of_complaint() {
    [ "$(wc -l < "$scratch/err")" -eq 1 ] ||
        fail "not one line: $(cat "$scratch/err")"
}
