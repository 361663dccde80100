# Runs the console blocks of README.md, in order, in one notebook.
#   readme.sh PROGRAM SCRATCH > README with the true output in its blocks
. tests/cli/common.sh "$1" "$2"
PATH="$(dirname "$(realpath "$pannage")"):$PATH"
unset PANNAGE_NOTEBOOK
export PANNAGE_NOTEBOOK=notebook.pannage
ln -s "$source_dir/examples" "$scratch/examples"

in_block=0
command=""
while IFS= read -r line || [ -n "$line" ]; do
    case "$in_block:$line" in
    '0:```console') in_block=1 ;;
    '1:```') in_block=0 ;;
    esac
    if [ "$in_block" -eq 0 ] || [ "$line" = '```console' ]; then
        printf '%s\n' "$line"
        continue
    fi
    case "$line" in
    '$ '*) command=${line#'$ '} ;;
    '> '*) command="$command ${line#'> '}" ;;
    *) continue ;; # old output
    esac
    printf '%s\n' "$line"
    case "$line" in *'\') command=${command%'\'}; continue ;; esac
    (cd "$scratch" && eval "$command" 2>&1 < /dev/null) || true
done < README.md
