#!/usr/bin/env bash
# Put the true output of its commands into README.md.
set -euo pipefail
cd "$(dirname "$0")/.."
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
bash tests/cli/readme.sh "${1:-build/gcc/pannage}" "$scratch/run" \
    > "$scratch/README.md"
cp "$scratch/README.md" README.md
