# Help, completion and the man page agree with the one table of commands.
. tests/cli/common.sh "$1" "$2"

expect 0 "$pannage" --version
prints "pannage "
expect 0 "$pannage" help
grep -E '^  [a-z]' "$scratch/out" | sed 's/^  //; s/  .*//' > "$scratch/commands"
[ "$(wc -l < "$scratch/commands")" -gt 20 ] || fail "no commands in the help"
expect 0 "$pannage" help --man
cp "$scratch/out" "$scratch/man"
cmp "$scratch/man" man/pannage.1 ||
    fail "man/pannage.1 is out of date: run scripts/update_man.sh"

while read -r command; do
    # shellcheck disable=SC2086
    expect 0 "$pannage" help $command < /dev/null
    cp "$scratch/out" "$scratch/help"
    prints "pannage $command: "
    # shellcheck disable=SC2086
    expect 0 "$pannage" $command --help < /dev/null
    cmp "$scratch/out" "$scratch/help" || fail "two helps of $command"
    grep -qF ".SS \"$command" man/pannage.1 || fail "man page lacks $command"
    grep -oE '^  --[a-z-]+' "$scratch/help" | sed 's/^  --//; s/-/\\-/g' |
        while read -r option; do
            grep -qF "\\-\\-$option" man/pannage.1 ||
                fail "man page lacks --$option"
        done
    awk 'length > 79 { print FILENAME ": " $0; bad = 1 } END { exit bad }' \
        "$scratch/help" || fail "a line of the help of $command is too long"
done < "$scratch/commands"

if command -v mandoc > /dev/null; then
    mandoc -T lint -W warning man/pannage.1 || fail "mandoc complains"
fi

# completion: valid bash, and it completes
expect 0 "$pannage" completion bash
cp "$scratch/out" "$scratch/completion"
bash -n "$scratch/completion"
got=$(bash -c ". '$scratch/completion'
    COMP_WORDS=(pannage weather im) COMP_CWORD=2; _pannage; echo \"\${COMPREPLY[*]}\"
    COMP_WORDS=(pannage outlook --exp) COMP_CWORD=2; _pannage; echo \"\${COMPREPLY[*]}\"
    COMP_WORDS=(pannage se) COMP_CWORD=1; _pannage; echo \"\${COMPREPLY[*]}\"")
[ "$got" = "import
--explain
season" ] || fail "completion gave: $got"

# wrong command lines: exit 2, one line, a remedy
for line in "" "outlok" "outlook --dote 2026-01-01" "outlook --date" \
    "outlook --date 2026-02-30" "outlook --days 99" "outlook extra" \
    "patch add" "visit correct" "weather import" "sun" "--colour" \
    "season" "completion fish" "outlook --colour sometimes"; do
    # shellcheck disable=SC2086
    expect 2 "$pannage" $line
    [ -s "$scratch/err" ] || fail "silent about: $line"
done
expect 3 "$pannage" outlook
says "pannage notebook init"
expect 2 "$pannage" weather
prints "weather import"
echo "help, man page and completion agree"
