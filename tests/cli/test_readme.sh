# Every command of README.md prints what README.md says it prints.
bash tests/cli/readme.sh "$1" "$2" > "$2.readme"
diff -u README.md "$2.readme" || {
    echo "FAILED: README.md is out of date: run scripts/update_readme.sh" >&2
    exit 1
}
[ "$(grep -c '^\$ ' README.md)" -ge 6 ] || exit 1
echo "README.md tells the truth"
