#!/usr/bin/env bash
# Write man/pannage.1 from the program's table of commands.
set -euo pipefail
cd "$(dirname "$0")/.."
"${1:-build/gcc/pannage}" help --man > man/pannage.1
