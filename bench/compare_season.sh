#!/bin/bash
# The season kernel and its numpy twin, same input, one after the other.
#   bench/compare_season.sh BUILD_FOLDER SCRATCH_FOLDER
set -euo pipefail
build=$1
data=$2/season
mkdir -p "$data"
"$build/bench_season" penny_bun 4096 365 "$data"
# Debian's own python3: the one that Debian's numpy belongs to
/usr/bin/python3 bench/peers/season_numpy.py "$data"
rm -rf "$data"
