# Every kind of bad file: one line naming file, line, column, value and
# remedy, exit code 3, and the notebook exactly as it was.
. tests/cli/common.sh "$1" "$2"

expect 0 "$pannage" notebook init
cat > "$scratch/good.csv" <<'CSV'
date,tmin (degC),tmax (degC),rain (mm)
2026-09-01,9.1,18.2,0.0
2026-09-02,10.0,17.5,4.2
2026-09-03,8.4,16.9,0.6
CSV
where="--source Here --latitude 51 --longitude -1 --elevation 50"
# shellcheck disable=SC2086
expect 0 "$pannage" weather import "$scratch/good.csv" $where
expect 0 "$pannage" patch add --name Copse --at "SU 852 664" --kinds penny_bun
sqlite3 "$PANNAGE_NOTEBOOK" .dump > "$scratch/before.sql"

unchanged() {
    sqlite3 "$PANNAGE_NOTEBOOK" .dump > "$scratch/after.sql"
    cmp -s "$scratch/before.sql" "$scratch/after.sql" ||
        fail "the notebook changed: $1"
}

# bad NAME WORDS...: the file on standard input must be refused with them
bad() {
    local file="$scratch/$1.csv"
    shift
    cat > "$file"
    # shellcheck disable=SC2086
    expect 3 "$pannage" weather import "$file" $where
    one_line_of_complaint
    says "$file" "$@"
    unchanged "$file"
}

h='date,tmin (degC),tmax (degC),rain (mm)'
bad unit ':1:' 'degR' <<< 'date,tmin (degR),tmax (degC),rain (mm)
2026-09-04,9,18,0'
bad no_unit ':1:' 'unit' <<< 'date,tmin,tmax (degC),rain (mm)
2026-09-04,9,18,0'
bad impossible ':3:' 'rain' '-4' <<< "$h
2026-09-04,9,18,0
2026-09-05,9,18,-4"
bad too_hot ':2:' 'tmax' '181' <<< "$h
2026-09-04,9,181,0"
bad upside_down ':2:' '19' '18' <<< "$h
2026-09-04,19,18,0"
bad word ':2:' 'rain' 'wet' <<< "$h
2026-09-04,9,18,wet"
bad nan ':2:' 'tmin' 'nan' <<< "$h
2026-09-04,nan,18,0"
bad inf ':2:' 'tmax' 'inf' <<< "$h
2026-09-04,9,inf,0"
bad comma ':2:' <<< "$h
2026-09-04,9,5,18,0"
bad duplicated ':4:' '2026-09-04' '2' <<< "$h
2026-09-04,9,18,0
2026-09-05,9,18,0
2026-09-04,9,18,1"
bad no_such_day ':2:' '2026-02-30' <<< "$h
2026-02-30,9,18,0"
bad other_date ':2:' '04/09/2026' <<< "$h
04/09/2026,9,18,0"
bad empty_file 'empty' < /dev/null
printf '%s\n2026-09-04,9,18,0\n2026-09-05,9,1' "$h" | bad truncated ':3:'
printf '\xff\xfed\0a\0t\0e\0' | bad utf16 'UTF-16' 'UTF-8'
printf '%s\r2026-09-04,9,18,0\r' "$h" | bad old_mac 'line'
printf '%s\n2026-09-04,9,18,"0\n' "$h" | bad open_quote ':2:' 'quote'
printf '%s\n2026-09-04,9\0,18,0\n' "$h" | bad nul_byte ':2:'
printf 'Conventions,G,BADC-CSV,1\ntitle,G,uk-daily-rain-obs\ndata\n' |
    bad badc_cut ''
printf '\x89PNG\r\n\x1a\n' | bad picture ''

# a wrong column altogether
bad wrong_column ':1:' <<< 'day,tmin (degC),tmax (degC),rain (mm)
2026-09-04,9,18,0'

# a line of 2 GB costs nothing: it is refused at its first 64 KiB
got=0
head -c 2000000000 /dev/zero | tr '\0' 7 |
    { "$pannage" weather import /dev/stdin $where > "$scratch/out" \
        2> "$scratch/err" || echo $? > "$scratch/code"; } || true
[ "$(cat "$scratch/code")" -eq 3 ] || fail "2 GB line: $(cat "$scratch/code")"
one_line_of_complaint
says '/dev/stdin:1:' '65536'
unchanged "2 GB line"

expect 3 "$pannage" weather import "$scratch/nowhere.csv"
says 'nowhere.csv'
unchanged nowhere

# missing dates are counted when they come in, and stop an outlook by name
cat > "$scratch/hole.csv" <<'CSV'
date,tmin (degC),tmax (degC),rain (mm)
2026-09-04,9,18,0
2026-09-10,9,18,0
CSV
# shellcheck disable=SC2086
expect 0 "$pannage" weather import "$scratch/hole.csv" $where --dry-run
prints 'missing'
unchanged "dry run"
# shellcheck disable=SC2086
expect 0 "$pannage" weather import "$scratch/hole.csv" $where
expect 3 "$pannage" outlook --date 2026-09-11
says '2026-09-05' '2026-09-09' '--from'
sqlite3 "$PANNAGE_NOTEBOOK" .dump > "$scratch/before.sql"

# what is no fault: CRLF, a byte-order mark, Fahrenheit, inches, knots
printf '\xef\xbb\xbfdate,tmin (degC),tmax (degC),rain (mm)\r\n2026-09-02,10.0,17.5,4.2\r\n' \
    > "$scratch/crlf.csv"
# shellcheck disable=SC2086
expect 0 "$pannage" weather import "$scratch/crlf.csv" $where
prints '1 as they were'
printf 'date,tmin (°F),tmax (degF),rain (in),wind (kn)\n2026-09-20,50,68,0.1,7\n' \
    > "$scratch/units.csv"
# shellcheck disable=SC2086
expect 0 "$pannage" weather import "$scratch/units.csv" $where
got=$(sqlite3 "$PANNAGE_NOTEBOOK" \
    "SELECT round(tmin_degc, 3) || ' ' || round(tmax_degc, 3) || ' ' || round(rain_mm, 3)
     FROM weather_day ORDER BY import DESC LIMIT 1")
[ "$got" = "10.0 20.0 2.54" ] || fail "units: $got"

# tables: patches and visits
sqlite3 "$PANNAGE_NOTEBOOK" .dump > "$scratch/before.sql"
bad_table() {
    local command=$1 name=$2 file="$scratch/$2.csv"
    shift 2
    cat > "$file"
    expect 3 "$pannage" "$command" import "$file"
    one_line_of_complaint
    says "$file:" "$@"
    unchanged "$name"
}
bad_table patch grid ':3:' 'QQ 123' <<< 'name,grid_ref,kinds
New,SU 851 661,penny_bun
Lost,QQ 123,penny_bun'
bad_table patch kind ':3:' 'penny_bum' <<< 'name,grid_ref,kinds
New,SU 851 661,penny_bun
Other,SU 851 662,penny_bum'
bad_table patch twice ':2:' 'Copse' <<< 'name,grid_ref
Copse,SU 851 661'
bad_table visit patch ':3:' 'Cops' <<< 'date,patch,kind,count
2025-09-02,Copse,penny_bun,3
2025-09-03,Cops,penny_bun,3'
bad_table visit count ':2:' 'three' <<< 'date,patch,kind,count
2025-09-02,Copse,penny_bun,three'
bad_table visit future ':2:' '2199-01-01' <<< 'date,patch,kind,count
2199-01-01,Copse,penny_bun,3'
bad_table visit header 'patch' <<< 'date,where,kind,count
2025-09-02,Copse,penny_bun,3'
expect 0 "$pannage" notebook verify
echo "bad input is refused by name and changes nothing"
