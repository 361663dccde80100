# The guide: sheets, two side by side, the list, and what lint says.
. tests/cli/common.sh "$1" "$2"

expect 0 "$pannage" guide lint
prints "No fault in " " deadly"
expect 0 "$pannage" guide list
prints "death_cap" "deadly" "never permission to eat"
expect 0 "$pannage" guide list --json
expect 0 "$pannage" guide features
prints "gill_attachment (cut): " "cap_width (look): "
expect 0 "$pannage" guide penny_bun
prints "Not to be taken for" "Cautions" "* pore colour" "Source: " "999"
awk 'length > 100 { exit 1 }' "$scratch/out" || fail "a line is too long"
expect 0 "$pannage" guide "Amanita phalloides"
prints "Death cap" "What it does"
expect 0 "$pannage" guide compare penny_bun bitter_bolete
prints "stem surface (look): decides" "Penny bun: " "Bitter bolete: " "Alike"
sed -n '/decides/,$p' "$scratch/out" | grep -n 'decides\|helps' |
    sed 's/.*: //' | uniq > "$scratch/order"
[ "$(head -n 1 "$scratch/order")" = decides ] || fail "what decides is not first"
[ "$(wc -l < "$scratch/order")" -le 2 ] || fail "what decides is not in one run"
expect 0 "$pannage" guide compare penny_bun bitter_bolete --json
prints '"mark": "decides"' '"inseparable": false'
expect 3 "$pannage" guide death_kap
says "did you mean death_cap"
expect 2 "$pannage" guide compare penny_bun

# every sheet can be printed, for a person and for a machine
mapfile -t kinds < <("$pannage" guide list --json |
    sed -n 's/.*"id": "\(.*\)",/\1/p')
[ "${#kinds[@]}" -gt 200 ] || fail "${#kinds[@]} kinds"
expect 0 "$pannage" guide "${kinds[@]}"
[ "$(grep -c '^Source: ' "$scratch/out")" -eq "${#kinds[@]}" ] ||
    fail "not every sheet is printed"
[ "$(grep -c 'never permission to eat' "$scratch/out")" -eq "${#kinds[@]}" ] ||
    fail "a sheet without its caution"
expect 0 "$pannage" guide "${kinds[@]}" --json
jq -e ".sheets | length == ${#kinds[@]}" "$scratch/out" > /dev/null ||
    fail "not every sheet is JSON"
expect 3 "$pannage" guide penny_bun death_kap
[ ! -s "$scratch/out" ] || fail "half of what was asked for is printed"

# a guide with faults is told of whole and used by nothing
bad="$scratch/guide"
cp -r guide "$bad"
rm "$bad/sheets/death_cap.yaml"
sed -i 's/cap_width: {low: /cap_width: {low: 9/' "$bad/sheets/penny_bun.yaml"
expect 3 "$pannage" guide lint --guide "$bad"
says "penny_bun.yaml:" "low must be below high" \
    "there is no sheet of 'death_cap', a danger that no guide may be without" \
    "faults"
expect 3 "$pannage" guide lint --guide "$bad" --json
prints '"sound": false' "death_cap"
expect 3 "$pannage" check --guide "$bad" --observe form=gilled
[ ! -s "$scratch/out" ] || fail "a faulty guide was used"
cp -r guide/sheets "$scratch/more" && mkdir "$scratch/big"
cp guide/features.yaml "$scratch/big"
mv "$scratch/more" "$scratch/big/sheets"
head -c 1100000 /dev/zero | tr '\0' '#' >> "$scratch/big/sheets/morel.yaml"
expect 3 "$pannage" guide lint --guide "$scratch/big"
says "morel.yaml: more than"
rm "$scratch/big/features.yaml"
expect 3 "$pannage" guide lint --guide "$scratch/big"
says "features.yaml"
