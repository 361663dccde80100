# What a fresh pair of eyes found: years, plurals, names, forecasts that are
# passed over, visits counted twice, outputs that cannot be written.
. tests/cli/common.sh "$1" "$2"

lacks() {
    ! grep -qF -- "$1" "$scratch/out" || fail "'$1' in: $(cat "$scratch/out")"
}

expect 0 "$pannage" notebook init
expect 0 "$pannage" weather import examples/bracknell_1991/*.csv
lacks "1 days"
expect 0 "$pannage" patch add --name "Long Copse" --at "SU 852 664" \
    --cover broadleaf --kinds penny_bun,beech_nuts
expect 0 "$pannage" patch add --name "Shag Rocks" --at "SU 853 664" --kinds dulse

# an outlook over New Year names both years; a row that is not up has no rank
expect 0 "$pannage" outlook --date 1991-12-31 --all
prints "Outlook for Tue 31 Dec 1991 to Mon 13 Jan 1992" "% past its stage" \
    "of 1 other year;"
expect 0 "$pannage" outlook --date 1991-01-20 --all
! grep -qE '^0 ' "$scratch/out" || fail "a rank of 0 is printed"
prints "its warmth is counted from 1 Jul on"
lacks "building up"
# what must be ruled out is told of kinds that are not forecast, too
prints "Dulse at Shag Rocks: not forecast" "Rule out first: foul water"
expect 0 "$pannage" outlook --date 1991-10-05 --days 1 --ascii
lacks "  deg C"
prints " deg C"

# a patch by its number, everywhere
for command in outlook season; do
    expect 0 "$pannage" "$command" --date 1991-10-05 --patch 1 --kind penny_bun
    prints "Long Copse"
done

# names that could not be told apart, or not be printed in one line
expect 3 "$pannage" patch add --name "long copse" --at "SU 852 664"
says 'already a patch "Long Copse" (1)'
for name in '   ' $'two\nlines' $'red\033[31m' $'\xe2\x80\xaeturned' $'c1\xc2\x9b'; do
    expect 3 "$pannage" patch add --name "$name" --at "SU 852 664"
    one_line_of_complaint
    says "name of a patch"
    expect 3 "$pannage" place add --name "$name" --at "SU 852 664"
    says "name of a place"
done
expect 0 "$pannage" patch add --name "Bois à côté, 日本" --at "SU 852 664"
expect 2 "$pannage" outlook --date $'1991\n\033[31m'
one_line_of_complaint
! grep -q $'\033' "$scratch/err" || fail "an escape sequence in a complaint"
expect 3 "$pannage" kinds penny_bum
says "did you mean penny_bun?"

# a forecast that does not begin with the outlook is not passed over in silence
forecast() {
    local day
    echo 'date,tmin (degC),tmax (degC),rain (mm)'
    for day in "$@"; do echo "1991-10-$day,8,16,3"; done
}
outlook() {
    "$pannage" outlook --date 1991-10-05 --kind penny_bun \
        --forecast "$scratch/forecast.csv"
}
forecast 01 02 03 > "$scratch/forecast.csv"
expect 3 outlook
says "forecast.csv" "1991-10-01 to 1991-10-03" "1991-10-05"
forecast 08 09 > "$scratch/forecast.csv"
expect 3 outlook
forecast 05 > "$scratch/forecast.csv"
expect 0 outlook
prints "; 1 day of forecast"
[ ! -s "$scratch/err" ] || fail "said: $(cat "$scratch/err")"
forecast 04 05 06 08 > "$scratch/forecast.csv"
expect 0 outlook
prints "; 2 days of forecast"
says "no whole forecast for 1991-10-07"

# finds: a slip in a number does not become the name of a stage
for find in penny_bun:1.5 penny_bun:3:0g penny_bun:640gr penny_bun:-2 penny_bun:2,5kg; do
    expect 2 "$pannage" visit add --patch 1 --date 1991-09-20 --find "$find"
    says "--find"
done
expect 0 "$pannage" visit add --patch 1 --date 1991-09-28
prints "a blank one"
expect 0 "$pannage" visit add --patch 1 --date 1991-09-29 --find penny_bun:2:0.3kg:young
prints ": 1 find."
expect 0 "$pannage" outlook --date 1991-10-05 --kind penny_bun --explain
prints "2 visits, 2 in season, 1 of them found it"

# corrections: never to a day to come, never of nothing, told in their order
expect 2 "$pannage" visit correct 2 --date 2199-01-01
expect 2 "$pannage" visit correct 2
says "nothing to correct"
expect 2 "$pannage" find correct 1
expect 2 "$pannage" find correct 1 --grams 0
expect 0 "$pannage" visit correct 2 --date 1991-09-30
expect 0 "$pannage" visit correct 2 --date 1991-09-27
expect 0 "$pannage" visit history 2
[ "$(grep -oE '1991-09-[0-9]+' "$scratch/out" | tr '\n' ' ')" = \
    "1991-09-29 1991-09-30 1991-09-27 " ] || fail "order: $(cat "$scratch/out")"
expect 0 "$pannage" visit retract 2
expect 0 "$pannage" outlook --date 1991-10-05 --kind penny_bun --explain
prints "1 visit, 1 in season, 0 of them found it"

# the same file twice; rows of one visit apart; a column that nobody reads
cat > "$scratch/visits.csv" <<'CSV'
date,patch,kind,count,minutes,weather
1991-09-10,Long Copse,penny_bun,4,,dry
1991-09-12,Long Copse,,,20,wet
1991-09-10,Long Copse,beech_nuts,2,35,dry
CSV
expect 0 "$pannage" visit import "$scratch/visits.csv"
prints "2 visits with 2 finds added."
says "'weather' is not read"
expect 0 "$pannage" visit list --json
[ "$(grep -c '"minutes": 35' "$scratch/out")" -eq 1 ] || fail "minutes lost"
cp "$scratch/out" "$scratch/once"
expect 0 "$pannage" visit import "$scratch/visits.csv"
prints "0 visits with 0 finds added; 2 more are in the notebook already."
expect 0 "$pannage" visit list --json
cmp "$scratch/out" "$scratch/once" || fail "an import twice counts twice"
printf '1991-09-10,Long Copse,penny_bun,5,,\n' >> "$scratch/visits.csv"
expect 3 "$pannage" visit import "$scratch/visits.csv"
says "visits.csv:2:" "tells otherwise" "pannage visit correct"

# a patch put right; a kind looked for from now on makes no old visit a blank
expect 0 "$pannage" patch add --name "Far Down" --at "SU 90 70" --kinds penny_bun
expect 0 "$pannage" visit add --patch "Far Down" --date 1991-09-20
sleep 1.1
expect 2 "$pannage" patch correct "Far Down"
says "nothing to correct"
expect 3 "$pannage" patch correct "Far Down" --name "LONG COPSE"
expect 3 "$pannage" patch correct "Far Down" --cover lawn
expect 3 "$pannage" patch correct "Far Down" --name Other --kinds penny_bum
expect 3 "$pannage" patch correct "Far Down" --without beech_nuts
expect 0 "$pannage" patch correct "Far Down" --name "Far Hill" --elevation 120 \
    --kinds field_mushroom
expect 0 "$pannage" patch list
prints "Far Hill" "penny_bun, field_mushroom" "120"
lacks "Far Down"
expect 0 "$pannage" outlook --date 1991-10-05 --patch "Far Hill" --explain
prints "1 visit, " "0 visits, 0 in season"
expect 0 "$pannage" patch correct "Far Hill" --without penny_bun
expect 0 "$pannage" outlook --date 1991-10-05 --patch "Far Hill"
lacks "Penny bun"
expect 0 "$pannage" patch retract "Far Hill"
expect 3 "$pannage" outlook --date 1991-10-05 --patch "Far Hill"
says "no patch 'Far Hill'"

# a find the model did not expect raises the chance, and is told
expect 0 "$pannage" outlook --date 1991-10-05 --patch 1 --kind penny_bun
tr -s ' \n' ' ' < "$scratch/out" > "$scratch/flat"
grep -qF "found none; you found it when it was not expected" "$scratch/flat" ||
    fail "silent about a find: $(cat "$scratch/out")"

# a table too wide for the terminal loses its last column, not its rows
expect 0 "$pannage" outlook --date 1991-10-05 --patch 1 --width 65
lacks "day by day  "
grep -qE '^1  Penny bun +Long Copse .*\)$' "$scratch/out" ||
    fail "no whole row: $(cat "$scratch/out")"

# nothing may be lost in silence when the output cannot be written
if [ -c /dev/full ]; then
    for line in "outlook --date 1991-10-05" "outlook --date 1991-10-05 --json" \
        "help" "help --man" "patch list" "completion bash" "--version" \
        "sun --at 51,0" "notebook info"; do
        got=0
        # shellcheck disable=SC2086
        "$pannage" $line > /dev/full 2> "$scratch/err" || got=$?
        [ "$got" -eq 4 ] || fail "exit code $got, full disk: $line"
        says "could not write the output"
    done
fi
expect 0 "$pannage" notebook verify
echo "what fresh eyes found stays found"
