#!/bin/sh
# Turns schema.sql into schema_text.h, line by line, in two parts: tables and
# guards. Run it after every change of schema.sql.
set -eu
cd "$(dirname "$0")"
awk '
BEGIN {
    print "// SPDX-License-Identifier: MIT"
    print "/* Made by embed.sh from schema.sql: change that, not this. */"
    print "/* clang-format off */"
    print "static const char *const schema_tables[] = {"
}
/^-- ==== guards/ {
    print "};"
    print "static const char *const schema_guards[] = {"
}
{
    gsub(/\\/, "\\\\")
    gsub(/"/, "\\\"")
    print "    \"" $0 "\\n\","
}
END { print "};" }
' schema.sql > schema_text.h
