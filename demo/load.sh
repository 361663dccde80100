#!/usr/bin/env bash
# Load the invented parish of Oxenholt and show this week's outlook. Every
# step is an ordinary command, printed before it runs.
#   demo/load.sh PATH_OF_PANNAGE [OUT_FOLDER] [DATE]
set -euo pipefail
cd "$(dirname "$0")/.."
pannage=$1
out=${2:-demo/out}
date=${3:-today}

mkdir -p "$out"
export PANNAGE_NOTEBOOK="$out/oxenholt.pannage"
rm -f "$PANNAGE_NOTEBOOK" "$PANNAGE_NOTEBOOK-wal" "$PANNAGE_NOTEBOOK-shm"

say() { printf '\n$ pannage %s\n' "$*"; }
run() { say "$@"; "$pannage" "$@"; }

echo 'The parish of Oxenholt, its people, weather and visits are invented.'
run notebook init
say weather generate demo/normals.csv --first 2022-01-01 --seed 1847 \
    --latitude 50.7 --elevation 50 '>' "$out/weather.csv"
"$pannage" weather generate demo/normals.csv --first 2022-01-01 --seed 1847 \
    --latitude 50.7 --elevation 50 > "$out/weather.csv"
run weather import "$out/weather.csv" --source 'Oxenholt (invented)' \
    --latitude 50.7 --longitude -2.7 --elevation 50
run patch import demo/patches.csv
run visit import demo/visits.csv
run notebook verify
run outlook --date "$date" --top 8
run season --patch 'Long Ride' --kind penny_bun --date "$date"
run season --patch 'Long Ride' --kind penny_bun --date "$date" \
    --svg "$out/season.svg"
# A specimen in hand: what is left open makes it end with 1, as it should.
run check velvet_shank --month 11 --observe form=gilled \
    --observe grows_on=dead_wood --observe habit=tuft \
    --observe cap_colour=orange || [ $? -eq 1 ]
