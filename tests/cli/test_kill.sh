# kill -9 in mid-import, again and again: what was committed stands, nothing
# of the broken import does, and the notebook verifies every time.
. tests/cli/common.sh "$1" "$2"

expect 0 "$pannage" notebook init
expect 0 "$pannage" patch add --name Copse --at "SU 852 664" --kinds penny_bun
"$pannage" weather generate demo/normals.csv --first 1990-01-01 \
    --last 2019-12-31 --seed 3 > "$scratch/weather.csv"
where="--latitude 51 --longitude -1 --elevation 50"
{
    echo 'date,patch,kind,count,observer'
    for i in $(seq 1 3000); do
        echo "2020-0$((i % 9 + 1))-1$((i % 10)),Copse,penny_bun,3,walker$i"
    done
} > "$scratch/visits.csv"

RANDOM=20260914
kills=0
committed=0
for round in $(seq 1 200); do
    # one small commit that must outlive every later kill
    expect 0 "$pannage" visit add --patch Copse --date 2026-01-01 \
        --find "penny_bun:$round" --observer keeper
    committed=$((committed + 1))
    if [ $((round % 2)) -eq 0 ]; then
        # shellcheck disable=SC2086
        "$pannage" weather import "$scratch/weather.csv" $where \
            --source "station$round" > /dev/null 2>&1 &
    else
        "$pannage" visit import "$scratch/visits.csv" > /dev/null 2>&1 &
    fi
    child=$!
    sleep "0.0$((RANDOM % 50 + 10))"
    if kill -9 $child 2> /dev/null; then
        kills=$((kills + 1))
    fi
    wait $child 2> /dev/null || true
    expect 0 "$pannage" notebook verify
    got=$("$pannage" visit list --since 2026-01-01 --until 2026-01-01 --json |
        grep -c '"keeper"')
    [ "$got" -eq "$committed" ] || fail "round $round: $got of $committed left"
    walkers=$("$pannage" visit list --since 2020-01-01 --until 2020-12-31 --json |
        grep -c '"walker' || true)
    [ $((walkers % 3000)) -eq 0 ] || fail "round $round: half an import stayed"
    days=$(sqlite3 "$PANNAGE_NOTEBOOK" 'SELECT count(*) FROM weather_day')
    [ $((days % 10957)) -eq 0 ] || fail "round $round: half a record stayed"
    [ "$kills" -lt 50 ] || break
done
[ "$kills" -ge 50 ] || fail "only $kills kills struck"
echo "$round rounds, $kills kills: nothing committed was lost"
