# Sessions and photos in the notebook, jars and meals, and what a correction of
# a find brings up for review.
. tests/cli/common.sh "$1" "$2"

lacks() {
    ! grep -qiF -- "$1" "$scratch/out" || fail "'$1' in: $(cat "$scratch/out")"
}

# text as one line, however it was wrapped
flat() {
    tr -s ' \n' ' ' < "$scratch/out" > "$scratch/flat"
    grep -qF -- "$1" "$scratch/flat" || fail "no '$1' in: $(cat "$scratch/out")"
}

health() {
    flat "do not wait for them to feel ill: call 999 if they are unwell, else NHS 111"
    flat "keep what is left"
    ! grep -qiE '\b(edible|harmless|is safe|safe to)\b' "$scratch/out" ||
        fail "a verdict: $(cat "$scratch/out")"
}

export PANNAGE_NOTEBOOK="$scratch/n.pannage"
expect 0 "$pannage" notebook init
expect 0 "$pannage" patch add --name "Long Copse" --at "SU 852 664" \
    --cover broadleaf --kinds penny_bun,meadow_parasol
expect 0 "$pannage" visit add --patch 1 --date 2026-09-02 \
    --find meadow_parasol:3:400g:open --find penny_bun:2
printf '\xff\xd8\xff\xe0 a photo' > "$scratch/cap.jpg"
printf '\x89PNG\r\n\x1a\n another' > "$scratch/gills.png"
printf 'RIFF\x04\0\0\0WEBPthird' > "$scratch/stem.webp"
printf 'GIF89a' > "$scratch/no.gif"

# ---- a slip is told before the first question, and nothing is kept
ring=ring=double_loose
parasol() { "$pannage" check meadow_parasol --observe $ring "$@" < /dev/null; }
expect 2 parasol --photo "$scratch/cap.jpg"
says "give --keep too"
expect 2 parasol --find 1
expect 3 parasol --keep --find 99
says "there is no find 99"
expect 3 parasol --keep --photo "$scratch/no.gif"
says "no.gif: is neither JPEG, PNG nor WebP"
expect 3 parasol --keep --photo "$scratch/nothing.jpg"
expect 3 parasol --keep --photo "$scratch"
says "not a plain file"
truncate -s 16777217 "$scratch/huge.jpg"
expect 3 parasol --keep --photo "$scratch/cap.jpg" --photo "$scratch/huge.jpg"
says "16 MiB"
expect 3 parasol --keep --notebook "$scratch/none.pannage"
says "notebook init"
expect 1 "$pannage" check kept
expect 1 "$pannage" photo list
expect 0 "$pannage" check kept --json
prints '"sessions": []'

# ---- kept: answers, outcome, guide, find and photos
expect 1 parasol --keep --find 1 --observe 'smell=mild?' --observe cap_width=22 \
    --month 9 --photo "$scratch/cap.jpg" --photo "$scratch/gills.png"
prints "Kept as session 1" "NOT RULED OUT"
health
open=$(grep -oE 'it is open in [0-9]+ ways' "$scratch/out" | grep -oE '[0-9]+')
dangers=$(grep -oE 'NOT RULED OUT: [0-9]+' "$scratch/out" | grep -oE '[0-9]+')
expect 1 parasol --keep --json --expert
prints '"kept": 2'
expect 1 parasol --json
prints '"kept": null'
expect 0 "$pannage" check kept
prints "meadow parasol"
health
expect 0 "$pannage" check kept --find 1 --json
prints '"check": 1' "\"open\": $open" '"photos": 2' '"find": 1' \
    '"kind_in_mind": "meadow_parasol"' '"guide": "pannage 0.'
lacks '"check": 2'
expect 0 "$pannage" check correct 2 --find 2 --note "the other basket"
expect 0 "$pannage" check kept --find 2 --json
prints '"check": 2' "the other basket"
expect 3 "$pannage" check correct 2 --find 99
expect 2 "$pannage" check correct 2
expect 3 "$pannage" check correct 99 --find 1

# a session file goes on working beside it
expect 1 parasol --keep --session "$scratch/session.txt"
grep -qx "$ring" "$scratch/session.txt" || fail "no session file"
expect 1 "$pannage" check meadow_parasol --session "$scratch/session.txt" \
    --keep --observe cap_width=20 < /dev/null
grep -qx "cap_width=20" "$scratch/session.txt" || fail "not resumed"
# typed: the answers given to questions are kept too
printf '%s\n' gilled q | expect 1 "$pannage" check --ask --typed --keep
expect 0 "$pannage" check kept --json
[ "$(grep -c '"check":' "$scratch/out")" -eq 5 ] || fail "not five sessions"
typed=$(grep -oE '"check": [0-9]+' "$scratch/out" | grep -oE '[0-9]+' | sort -n | tail -1)
expect 1 "$pannage" check show "$typed" --json
prints '"form=gilled"'

# ---- played again, with this guide and with others
expect 1 "$pannage" check show 1
prints "Session 1" "of find 1, 2 photos" "You said: ring double loose" "smell mild?"
flat "Then: open in $open ways as meadow parasol; $dangers dangerous kinds"
flat "Today: open in $open ways as meadow parasol; $dangers dangerous kinds not ruled out (the same guide)"
lacks "among them"
health
expect 1 "$pannage" check show 1 --guide guide
flat "(the same guide)" # by its content, wherever it came from
cp -r guide "$scratch/fewer"
sed -i 's/\bdyers_mazegill, //; s/, dyers_mazegill\b//' "$scratch/fewer/features.yaml"
sed -i 's/^status: harmful/status: protected/' "$scratch/fewer/sheets/dyers_mazegill.yaml"
expect 0 "$pannage" guide lint --guide "$scratch/fewer"
expect 1 "$pannage" check show 1 --guide "$scratch/fewer"
flat "No longer among them, 1: dyers mazegill"
expect 1 parasol --keep --guide "$scratch/fewer" --json
older=$(grep -oE '"kept": [0-9]+' "$scratch/out" | grep -oE '[0-9]+')
expect 1 "$pannage" check show "$older"
flat "New among them, 1: dyers mazegill"
expect 1 "$pannage" check show "$older" --json
tr -s ' \n' ' ' < "$scratch/out" > "$scratch/flat"
grep -qF '"newly_not_ruled_out": [ "dyers_mazegill" ]' "$scratch/flat" ||
    fail "not in JSON: $(cat "$scratch/flat")"
# an answer, or a kind, that the guide no longer knows
cp "$PANNAGE_NOTEBOOK" "$scratch/before"
cp -r guide "$scratch/renamed"
sed -i 's/double_loose/loose_double/g' "$scratch/renamed/features.yaml" \
    "$scratch"/renamed/sheets/*.yaml
expect 3 "$pannage" check show 1 --guide "$scratch/renamed"
says "session 1, answer 1, 'ring=double_loose'" "loose_double"
one_line_of_complaint
[ ! -s "$scratch/out" ] || fail "half a session was shown"
cmp "$PANNAGE_NOTEBOOK" "$scratch/before" || fail "showing changed something"
expect 3 "$pannage" check show 99
says "check kept"
expect 2 "$pannage" check show one

# ---- photos come out as they went in
expect 0 "$pannage" photo add "$scratch/stem.webp" "$scratch/cap.jpg" --find 1 \
    --note "the next day"
expect 2 "$pannage" photo add "$scratch/stem.webp"
expect 3 "$pannage" photo add "$scratch/stem.webp" "$scratch/no.gif" --find 1
expect 0 "$pannage" photo list --find 1
[ "$(grep -c image/ "$scratch/out")" -eq 4 ] || fail "not four photos"
expect 0 "$pannage" photo list --json
prints "$(sha256sum "$scratch/stem.webp" | cut -c1-64)" '"note": "the next day"'
expect 0 "$pannage" photo list --check 1
lacks stem.webp
expect 0 "$pannage" photo save 3 "$scratch/out.webp"
prints "the place may be inside"
cmp "$scratch/out.webp" "$scratch/stem.webp" || fail "other bytes"
expect 3 "$pannage" photo save 3 "$scratch/out.webp"
says "already there"
expect 3 "$pannage" photo save 99 "$scratch/new.jpg"
[ ! -e "$scratch/new.jpg" ] || fail "a file without a photo"

# ---- jars and meals; nothing is up for review yet
expect 0 "$pannage" jar add --find 1 --name "dried parasol" --date 2026-09-03
prints "Number 1, a jar of find 1"
lacks 999
expect 0 "$pannage" meal add --from 1 --name soup --eaters "R., S."
prints "Number 2, a meal of number 1"
expect 0 "$pannage" meal add --find 1 --find 2 --name "mixed dish" --json
tr -s ' \n' ' ' < "$scratch/out" > "$scratch/flat"
grep -qF '"kept": [ 3, 4 ]' "$scratch/flat" || fail "not two records"
for line in "jar add --find 1" "jar add --name x" "meal add --find x --name y" \
    "meal add --find 1 --name y --date 2199-01-01"; do
    # shellcheck disable=SC2086
    expect 2 "$pannage" $line
done
expect 3 "$pannage" jar add --find 99 --name x
expect 3 "$pannage" meal add --from 99 --name x
expect 0 "$pannage" kept list --json
[ "$(grep -c '"kept": [0-9]' "$scratch/out")" -eq 4 ] || fail "not four records"
expect 0 "$pannage" review
prints "Nothing is up for review."
expect 0 "$pannage" find correct 1 --count 4
lacks "UP FOR REVIEW"
expect 0 "$pannage" find correct 2 --kind bay_bolete --json
prints '"find": 2' '"kept": 4'
expect 0 "$pannage" review close 4 --outcome still_right

# ---- the find was something else: told at once, health first
expect 3 "$pannage" find correct 1 --kind fatal_daperling
says "did you mean fatal_dapperling"
expect 0 "$pannage" find correct 1 --kind fatal_dapperling
flat "UP FOR REVIEW: 3 kept things"
flat "Somebody ate of it. It is now taken for something deadly: do not wait."
health
prints "Fatal dapperling (deadly)" "R., S." "dried parasol" "mixed dish"
health_line=$(grep -n "call 999" "$scratch/out" | cut -d: -f1)
table_line=$(grep -n "kept as" "$scratch/out" | cut -d: -f1)
[ "$health_line" -lt "$table_line" ] || fail "health does not come first"
expect 1 "$pannage" review
health
expect 1 "$pannage" review --json
prints '"kind_now": "fatal_dapperling"' '"kept_as": "meadow_parasol"' '"eaten"'
expect 0 "$pannage" kept list
prints "IN DOUBT"
health
expect 0 "$pannage" notebook info
flat "UP FOR REVIEW: 3"
expect 0 "$pannage" visit list --kind fatal_dapperling
prints "4 fatal_dapperling"

# a meal written down after all that is in doubt from its first line
expect 0 "$pannage" meal add --from 1 --name "late soup" --eaters T.
flat "UP FOR REVIEW: 1 kept thing"
health
expect 0 "$pannage" jar add --find 1 --name pickled
flat "The find is written down as Fatal dapperling (deadly). Let nobody eat of it."
health

# ---- closing
expect 2 "$pannage" review close 1
expect 2 "$pannage" review close 1 --outcome fine
says "thrown_away"
expect 3 "$pannage" review close 1 --outcome still_right
says "Fatal dapperling (deadly)" "find correct 1"
expect 3 "$pannage" review close 4 --outcome other
says "not up for review"
expect 0 "$pannage" kept correct 2 --eaters "R., S., U."
flat "UP FOR REVIEW: 1 kept thing" # a correction settles nothing
expect 0 "$pannage" review close 1 --outcome thrown_away
prints "3 still up for review"
lacks 999
expect 0 "$pannage" review close 2 --outcome nobody_ill --note "rang 111"
health
flat "Some poisons are felt only after days"
expect 0 "$pannage" review close 3 --outcome ill --json
prints '"outcome": "ill"' '"eaten"'
expect 1 "$pannage" review
flat "UP FOR REVIEW: 1 kept thing"
late=$(grep -F "late soup" "$scratch/out" | grep -oE '^ *[0-9]+' | tr -d ' ')
expect 0 "$pannage" review close "$late" --outcome other
expect 0 "$pannage" review

# ---- once more, and taken back in every way
expect 0 "$pannage" find correct 1 --kind unknown
flat "UP FOR REVIEW: 5 kept things"
expect 3 "$pannage" review close 1 --outcome still_right
expect 0 "$pannage" find correct 1 --kind meadow_parasol
flat "UP FOR REVIEW: 5 kept things" # there and back is a doubt too
expect 0 "$pannage" review close 1 --outcome still_right
expect 0 "$pannage" find retract 2
flat "taken back"
prints "mixed dish"
health
expect 0 "$pannage" visit retract 1
flat "UP FOR REVIEW: 6 kept things"
expect 0 "$pannage" patch retract 1 --json
prints '"patch": 1' '"up_for_review"' '"find_taken_back": true'
# sessions and photos of what was taken back are still there
expect 0 "$pannage" check kept --find 1
expect 0 "$pannage" photo list --find 1

expect 0 "$pannage" notebook verify
expect 0 "$pannage" notebook backup "$scratch/copy.pannage"
expect 0 "$pannage" notebook verify --notebook "$scratch/copy.pannage"
expect 0 "$pannage" photo save 3 "$scratch/copy.webp" \
    --notebook "$scratch/copy.pannage"
cmp "$scratch/copy.webp" "$scratch/stem.webp" || fail "the copy has other bytes"
if [ -c /dev/full ]; then
    for line in review "kept list" "check kept" "photo list" "check show 1"; do
        got=0
        # shellcheck disable=SC2086
        "$pannage" $line > /dev/full 2> "$scratch/err" || got=$?
        [ "$got" -eq 4 ] || fail "exit code $got, full disk: $line"
    done
fi

# ---- an old notebook is upgraded before anything is kept in it
sqlite3 "$scratch/old.pannage" < tests/unit/notebook/v2.sql
expect 3 parasol --keep --notebook "$scratch/old.pannage"
says "notebook upgrade"
expect 0 "$pannage" notebook upgrade --notebook "$scratch/old.pannage"
expect 1 parasol --keep --find 3 --notebook "$scratch/old.pannage"
prints "Kept as session 1"
echo "kept, played again, and up for review when it must be"
