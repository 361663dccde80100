# The check as a person uses it: scripted, typed, with keys, saved and resumed.
. tests/cli/common.sh "$1" "$2"

never_a_verdict() {
    if grep -qiE '\b(edible|harmless|is safe|safe to)\b' "$scratch/out"; then
        fail "a verdict: $(grep -iE 'edible|harmless|safe' "$scratch/out")"
    fi
    prints "never permission to eat" "999" "NHS 111" "keep what is left"
}

# scripted: nothing said, one thing said, and what nobody could say
expect 1 "$pannage" check < /dev/null
prints "NOT RULED OUT: " "in no guide: always possible" "What to look at next:"
never_a_verdict
expect 1 "$pannage" check penny_bun --observe form=boletoid
prints "Leave it. As Penny bun it is open" "nothing yet speaks against" \
    "still to be seen, and surely: pore colour" "not ruled out: Bitter b"
never_a_verdict
expect 1 "$pannage" check "Penny bun" --observe form=boletoid --json
prints '"no_listed_check_fails": false' '"reason": "must be seen"' \
    '"would_tell"' '"caution"' '"eaten"'
expect 1 "$pannage" check penny_bun --observe form=boletoid \
    --observe "flesh_change=blue_at_once"
prints "what you saw speaks against it: flesh change"
expect 1 "$pannage" check death_cap --observe form=gilled
prints "this is no kind to gather"

# bad input: named, with a remedy, and nothing is changed
expect 3 "$pannage" check peny_bun --observe form=gilled
says "did you mean penny_bun"
expect 3 "$pannage" check --observe form=gills
says "form is not 'gills'" "gilled, boletoid"
expect 3 "$pannage" check --observe colour=red
says "feature=state"
expect 3 "$pannage" check --observe cap_width=wide
says "a measurement in cm"
expect 3 "$pannage" check --observe cap_width=-4
expect 3 "$pannage" check --observe cap_width=inf
expect 2 "$pannage" check --month 13 --observe form=gilled
expect 2 "$pannage" check --habitat forest --observe form=gilled
says "the guide knows no 'forest'" "broadleaf" "pasture"
expect 2 "$pannage" check --host oke --observe form=gilled
says "no 'oke'" "oak"
expect 1 "$pannage" check --habitat broadleaf --host oak --observe form=gilled
expect 3 "$pannage" check --guide /nowhere --observe form=gilled

# typed, kept, taken back, resumed
kept="$scratch/kept.txt"
printf '%s\n' boletoid u b pores 'stem_surface=net white?' nonsense q |
    expect 1 "$pannage" check penny_bun --ask --typed --session "$kept"
prints "Kept in $kept" "Eaten something doubtful?" "is not 'nonsense'"
cp "$kept" "$scratch/before"
grep -qx 'form=boletoid' "$kept" || fail "form is not kept: $(cat "$kept")"
grep -qx 'stem_surface=net_white?' "$kept" || fail "not kept: $(cat "$kept")"
expect 1 "$pannage" check penny_bun --session "$kept" --observe flesh_change=none
prints "You said: form boletoid" "stem surface net white?" "flesh change none"
expect 1 "$pannage" check penny_bun --session "$kept" --json < /dev/null
prints '"stem_surface": "net_white?"' '"flesh_change": "none"'
if grep -qF $'\033' "$scratch/out"; then fail "colour in a file"; fi
echo 'ring=two' >> "$kept"
cp "$kept" "$scratch/bad"
expect 3 "$pannage" check penny_bun --session "$kept" --observe ring=none
says "$kept:" "ring is not 'two'"
cmp "$kept" "$scratch/bad" || fail "a bad session file was written over"

head -c 70000 /dev/zero | tr '\0' '#' >> "$kept"
cp "$kept" "$scratch/bad"
expect 3 "$pannage" check penny_bun --session "$kept" --observe form=boletoid
says "more than 64 KiB"
cmp "$kept" "$scratch/bad" || fail "a file too large was written over"

# with keys, on a terminal of its own: down and Enter, ? for probably, back,
# the line after o, and Ctrl-C, which must leave the terminal as it was
keys="$scratch/keys.txt"
if ! script -qec true /dev/null < /dev/null > /dev/null 2>&1; then
    echo "no terminal to be had here: keys are not tried"
else
    cat > "$scratch/run.sh" <<END
stty rows 50 cols 100
before=\$(stty -g)
"$pannage" check --session "$keys"
[ "\$before" = "\$(stty -g)" ] || echo "STTY CHANGED"
END
    {
        sleep 1
        for key in '\033[B' '\r' u b o; do
            printf "$key"
            sleep 0.3
        done
        printf 'underside=pores\r'
        sleep 0.3
        printf '?'
        sleep 0.3
        printf '\003'
        sleep 0.5
    } | TERM=xterm script -qec "bash $scratch/run.sh" /dev/null \
        > "$scratch/screen" 2>&1 || true
    grep -q "STTY CHANGED" "$scratch/screen" && fail "the terminal is changed"
    grep -qx 'form=boletoid' "$keys" || fail "keys: $(cat "$keys")"
    grep -qx 'underside=pores' "$keys" || fail "keys: $(cat "$keys")"
    [ "$(grep -c '?$' "$keys")" -eq 1 ] || fail "keys: $(cat "$keys")"
    [ "$(grep -c . "$keys")" -eq 4 ] || fail "keys: $(cat "$keys")"
fi

# spores, measured at the bench, as evidence: few of them only "probably"
printf '%s\n' '8.1 x 5.2' '7.9×5.0' '8.4,5.1' > "$scratch/spores.txt"
expect 0 "$pannage" spores "$scratch/spores.txt"
prints "length  (7.9-) 7.9 - 8.4 (-8.4) µm, mean 8.13" "Q       (1.56-)" "n = 3"
expect 0 "$pannage" spores "$scratch/spores.txt" --json
prints '"notation": "(7.9-) 7.9 - 8.4 (-8.4)"' '"q"'
expect 1 "$pannage" check --observe form=gilled --spores "$scratch/spores.txt"
prints "spore length 8.13? um" "spore width 5.1? um"
for _ in 1 2 3 4 5 6 7; do cat "$scratch/spores.txt"; done > "$scratch/many.txt"
expect 1 "$pannage" check --observe form=gilled --spores "$scratch/many.txt"
prints "spore length 8.13 um"
echo round >> "$scratch/spores.txt"
expect 3 "$pannage" check --observe form=gilled --spores "$scratch/spores.txt"
says "spores.txt: line 4: write one spore a line"
