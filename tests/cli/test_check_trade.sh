# Specimens that people of the trade would know, told to the check: common
# practice, no source. Whatever the sheets say elsewhere, this must come out.
. tests/cli/common.sh "$1" "$2"

# What the last JSON says, a file a question: open (lines "reason feature" or
# "reason kind"), passes, not_ruled_out, stage, chances ("kind posterior"), words
# (caution and what to do if it was eaten); or of a sheet its lists.
put() { jq -r "$2" "$scratch/out" > "$scratch/is_$1"; }
read_json() {
    local list
    if jq -e 'has("open")' "$scratch/out" > /dev/null; then
        put open '.open[] | .reason + " " + (.feature // .kind // "")'
        put passes 'if .no_listed_check_fails then "yes" else "no" end'
        put not_ruled_out '.not_ruled_out[].kind'
        put stage '.stages // {} | to_entries | max_by(.value) | .key // empty'
        put chances '.suspects[] | "\(.kind) \(.posterior)"'
        put words '.caution, .eaten'
        return
    fi
    put must_see '.must_see[]'
    put status '.status'
    for list in stages parts cautions; do
        put "$list" ".$list[] | .about + \" \" + .what + \" \" + .words"
    done
}
ask_json() { cat "$scratch/is_$1"; }
chance_of() { sed -n "s/^$1 //p" "$scratch/is_chances"; }

# Every output says what it is for, and what to do if something was eaten; none
# calls anything fit to eat.
honest() {
    local words
    for words in "never permission to eat" "In doubt leave it" "call 999" \
        "NHS 111" "keep what is left"; do
        grep -qF "$words" "$scratch/is_words" || fail "not said: $words"
    done
    no_verdict
}
no_verdict() {
    if grep -nwiE 'edible|harmless|safe|safely|wholesome|good to eat' \
        "$scratch/out" "$scratch/err"; then
        fail "a verdict"
    fi
}

# look KIND OBSERVATION...: its exit code must be that of what it says
look() {
    local kind=$1 each got=0
    local given=()
    shift
    for each in "$@"; do given+=(--observe "$each"); done
    "$pannage" check "$kind" --month 9 "${given[@]}" --json \
        > "$scratch/out" 2> "$scratch/err" || got=$?
    [ -s "$scratch/err" ] && fail "$kind $*: $(cat "$scratch/err")"
    read_json
    honest
    case "$got $(ask_json passes)" in
    "0 yes") [ -z "$(ask_json open)" ] || fail "passes, and is open: $kind" ;;
    "1 no") [ -n "$(ask_json open)" ] || fail "shut without reason: $kind" ;;
    *) fail "exit code $got, yet passes: $(ask_json passes): $kind $*" ;;
    esac
    tried="$kind $*"
}
passes() {
    [ "$(ask_json passes)" = yes ] || fail "$tried: open: $(ask_json open)"
}
shut() { [ "$(ask_json passes)" = no ] || fail "passes: $tried"; }
open_in() { # REASON AND WHAT: among what is open
    grep -qxF -- "$1" "$scratch/is_open" || fail "$tried: no '$1' in: $(ask_json open)"
}
not_ruled_out() {
    grep -qE -- "^($1)\$" "$scratch/is_not_ruled_out" ||
        fail "$tried: none of $1 in: $(ask_json not_ruled_out)"
}
# with NEW OLD...: the observations, one of them replaced or, "feature=", left out
with() {
    local new=$1 each
    shift
    for each in "$@"; do
        [ "${each%%=*}" = "${new%%=*}" ] || echo "$each"
    done
    [ "${new#*=}" = "" ] || echo "$new"
}

# sheet KIND: what its sheet says
sheet() {
    expect 0 "$pannage" guide "$1" --json
    read_json
}

# every_one_counts KIND OBSERVATION...: it passes with all, and not without any
# single thing that must be seen
every_one_counts() {
    local kind=$1 feature
    shift
    look "$kind" "$@"
    passes
    sheet "$kind"
    [ "$(ask_json must_see | wc -l)" -ge 4 ] || fail "$kind: few must-sees"
    while read -r feature; do
        printf '%s\n' "$@" | grep "^$feature=" > /dev/null ||
            fail "$kind: $feature must be seen and the specimen lacks it"
        mapfile -t some < <(with "$feature=" "$@")
        look "$kind" "${some[@]}"
        shut
        open_in "must be seen $feature"
    done < "$scratch/is_must_see"
}

# ---- true parasol: a wide cap, dark boss, scales, free crowded white gills,
# ---- snakeskin stem, double ring that slides
parasol=(form=gilled underside=gills cap_width=18 cap_shape=umbo
    cap_surface=scaly cap_scales=flat_pressed cap_colour=buff
    gill_attachment=free gill_spacing=crowded gill_colour=white
    stem_height=22 stem_width=1.5 stem_surface=snakeskin stem_colour=brown
    ring=double_loose ring_place=top stem_base=bulb flesh_colour=white
    flesh_change=none base_cut=none handling=none smell=mild spore_print=white)
every_one_counts meadow_parasol "${parasol[@]}"
look meadow_parasol "${parasol[@]:0:8}"
shut
open_in "must be seen stem_surface"
open_in "must be seen ring"
open_in "danger left "
# nor when it is only probable, or not known
for said in "stem_surface=snakeskin?" ring=unsure; do
    mapfile -t some < <(with "$said" "${parasol[@]}")
    look meadow_parasol "${some[@]}"
    open_in "must be seen ${said%%=*}"
done
# pale brown gills are an old one's, not another kind's
mapfile -t some < <(with gill_colour=buff "${parasol[@]}")
look meadow_parasol "${some[@]}"
passes

# without the banding it is no parasol, and the shaggy kind is there again
uncut=(form=gilled cap_width=15 cap_surface=scaly gill_colour=white
    ring=double_loose)
look meadow_parasol "${uncut[@]}" stem_surface=snakeskin
banded=$(chance_of shaggy_parasol)
for stem in smooth fibrous; do
    look meadow_parasol "${uncut[@]}" "stem_surface=$stem"
    shut
    plain=$(chance_of shaggy_parasol)
    awk -v a="$banded" -v b="$plain" 'BEGIN { exit !(b > 5 * a && b > 0.2) }' ||
        fail "$stem stem: the shaggy parasol goes from $banded to $plain"
    mapfile -t some < <(with "stem_surface=$stem" "${parasol[@]}")
    look meadow_parasol "${some[@]}"
    open_in "disagrees stem_surface"
done
# the shaggy one itself: never a beginner's, and a small first taste only
shaggy=(form=gilled cap_width=13 cap_shape=flat cap_surface=scaly
    cap_scales=shaggy_upturned stem_surface=smooth stem_colour=white
    ring=double_loose stem_base=bulb flesh_colour=white flesh_change=red
    base_cut=orange spore_print=white grows_on=litter)
look shaggy_parasol "${shaggy[@]}"
shut
open_in "for experts only "
look meadow_parasol "${shaggy[@]}"
shut
sheet shaggy_parasol
[ "$(ask_json status)" = caution ] || fail "the shaggy parasol: $(ask_json status)"
grep -q '^first_taste' "$scratch/is_cautions" || fail "no first taste"

# of the size of a dapperling it never passes, whatever else is said
for width in 1.5 4.5 8; do
    mapfile -t some < <(with "cap_width=$width" "${parasol[@]}")
    look meadow_parasol "${some[@]}"
    open_in "disagrees cap_width"
    look meadow_parasol "cap_width=$width"
    shut
done
mapfile -t some < <(with cap_width= "${parasol[@]}")
look meadow_parasol "${some[@]}"
open_in "must be seen cap_width"
mapfile -t some < <(with cap_width=4 "${parasol[@]}")
for kind in shaggy_parasol penny_bun field_mushroom; do
    look "$kind" "${some[@]}"
    shut
done

# ---- penny bun: pale net on the stem, pores white to olive, flesh unchanging
bun=(form=boletoid underside=pores cap_width=14 cap_shape=dome
    cap_surface=smooth cap_colour=brown cap_margin=plain pore_colour=yellow
    pore_bruise=none stem_height=12 stem_width=5 stem_surface=net_white
    net_tone=paler stem_colour=buff stem_base=swollen stem_inside=solid
    flesh_colour=white flesh_change=none flesh_feel=firm base_cut=none
    smell=mushroom spore_print=olive_brown ring=none)
every_one_counts penny_bun "${bun[@]}"
for pores in white olive; do
    mapfile -t some < <(with "pore_colour=$pores" "${bun[@]}")
    look penny_bun "${some[@]}"
    passes
done
# cut, it turns blue at once: a poisonous bolete is there
blue_boletes='devils_bolete|lurid_bolete|scarletina_bolete|rosy_bolete|bitter_beech_bolete'
blue=(form=boletoid underside=pores cap_width=14 cap_colour=brown
    flesh_change=blue_at_once)
look penny_bun "${blue[@]}"
open_in "disagrees flesh_change"
not_ruled_out "$blue_boletes"
mapfile -t some < <(with flesh_change=blue_at_once "${bun[@]}")
for kind in penny_bun summer_penny_bun pine_penny_bun; do
    look "$kind" "${some[@]}"
    shut
    open_in "disagrees flesh_change"
done
mapfile -t some < <(with flesh_change=blue_slow "${bun[@]}")
look penny_bun "${some[@]}"
shut

# ---- hops: rough toothed leaves in pairs, papery cones
hop=(form=climber climbing=twines leaf_place=opposite leaf_shape=lobed
    leaf_edge=toothed leaf_surface=rough leaf_veins=from_one_point
    stem_hair=bristly fruit_kind=cone)
ripe=("${hop[@]}" fruit_colour=yellow cone_state=papery_tips_brown
    crushed_smell=citrus)
early=("${hop[@]}" fruit_colour=green cone_state=green_damp
    crushed_smell=green)
over=("${hop[@]}" fruit_colour=brown cone_state=brown_all_over
    crushed_smell=garlic)
stage_is() {
    look hop_cone "${@:2}"
    [ "$(ask_json stage)" = "$1" ] || fail "$1 hops are $(ask_json stage)"
}
every_one_counts hop_cone "${ripe[@]}"
stage_is mature "${ripe[@]}"
stage_is young "${early[@]}"
stage_is old "${over[@]}"
sheet hop_cone
grep -q '^young later' "$scratch/is_stages" || fail "early hops: not later"
grep -q '^mature take' "$scratch/is_stages" || fail "ripe hops are not taken"
grep -q '^old leave' "$scratch/is_stages" || fail "hops that are over are not left"
mapfile -t some < <(with leaf_edge=entire "${ripe[@]}")
look hop_cone "${some[@]}"
shut
open_in "disagrees leaf_edge"

# ---- beech nut: four-parted bristly husk, two three-edged nuts
nut=(form=tree leaf_place=alternate leaf_shape=oval leaf_edge=entire
    leaf_veins=netted bark=smooth arms=none fruit_kind=nut
    husk=bristly_four_parts nut_shape=three_edged fruit_colour=brown
    fruit_inside=kernel fruit_set=pairs)
every_one_counts beech_nut "${nut[@]}"
mapfile -t some < <(with nut_shape=round_scar "${nut[@]}")
[ "$(printf '%s\n' "${some[@]}" | grep -c nut_shape)" -eq 1 ] || fail "no nut"
if "$pannage" check --observe nut_shape=round_scar > /dev/null 2>&1 ||
    [ $? -eq 1 ]; then
    look beech_nut "${some[@]}"
    shut
fi
sheet beech_nut
grep -qiE '^nut raw .*(few|small)' "$scratch/is_parts" ||
    fail "beech nuts: how many raw?"
grep -qi '^old leave .*empty' "$scratch/is_stages" ||
    fail "beech nuts: nothing on empty shells"

# ---- a tiered bracket on beech stumps that blackens on handling: edges only
bracket=(form=bracket habit=tiers grows_on=dead_wood cap_width=25
    cap_colour=tan underside=pores pore_colour=cream pore_shape=round_small
    pore_bruise=black flesh_colour=white handling=black cap_surface=fibrous
    smell=mushroom)
every_one_counts giant_polypore "${bracket[@]}"
mapfile -t some < <(with handling=none "${bracket[@]}")
mapfile -t some < <(with pore_bruise=none "${some[@]}")
look giant_polypore "${some[@]}"
shut
sheet giant_polypore
grep -q '^edge cook' "$scratch/is_parts" || fail "polypore: no edge"
if grep -qE '^(whole|cap) cook' "$scratch/is_parts"; then
    fail "polypore: more than the edge is cooked"
fi

# ---- the words of the report
expect 0 "$pannage" check meadow_parasol \
    $(printf -- '--observe %s ' "${parasol[@]}")
prints "no listed check fails" "permission to eat" "999" "NHS 111" \
    "keep what is left" "Its stage is most likely mature"
no_verdict
expect 1 "$pannage" check meadow_parasol --observe cap_width=4
prints "Leave it." "999" "NHS 111" "keep what is left" "NOT RULED OUT"
no_verdict
expect 1 "$pannage" check --observe form=gilled
prints "Leave it." "999" "NHS 111" "keep what is left" "NOT RULED OUT"
no_verdict
expect 1 "$pannage" check --json < /dev/null
read_json
honest
