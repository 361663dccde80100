# Turns the files of the guide into one C source.
#   cmake -DGUIDE=<folder> -DOUT=<file.c> -P embed.cmake
file(GLOB sheets ${GUIDE}/sheets/*.yaml)
list(SORT sheets)
set(tables "")
set(source "/* Made by embed.cmake from the guide folder. */\n"
  "#include \"pannage/sheets.h\"\n\n")

# The bytes of one file as a table, and its entry in `entry`.
function(embed path name table)
  file(READ ${path} hex HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${hex}")
  set(source "${source}static const unsigned char ${table}[] = {${bytes}0};\n"
    PARENT_SCOPE)
  set(entry "{\"${name}\", {(const char *)${table}, sizeof ${table} - 1}}"
    PARENT_SCOPE)
endfunction()

string(CONCAT source ${source})
set(entries "")
set(count 0)
foreach(sheet ${sheets})
  get_filename_component(name ${sheet} NAME)
  embed(${sheet} guide/sheets/${name} sheet_${count})
  string(APPEND entries "    ${entry},\n")
  math(EXPR count "${count} + 1")
endforeach()
if(count EQUAL 0)
  message(FATAL_ERROR "no sheets in ${GUIDE}/sheets")
endif()
embed(${GUIDE}/features.yaml guide/features.yaml features)

string(APPEND source
  "\nstatic const pn_sheets_file features_file =\n    ${entry};\n"
  "static const pn_sheets_file sheet_files[] = {\n${entries}};\n\n"
  "const pn_sheets_file *pn_sheets_embedded_features(void) {\n"
  "    return &features_file;\n}\n"
  "const pn_sheets_file *pn_sheets_embedded(size_t *sheet_count) {\n"
  "    *sheet_count = sizeof sheet_files / sizeof *sheet_files;\n"
  "    return sheet_files;\n}\n")
file(WRITE ${OUT} "${source}")
