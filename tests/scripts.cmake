# The repository's own checks, as tests. Those that read objects want a build
# without sanitizers, which add globals of their own.
add_test(NAME layers COMMAND ${CMAKE_SOURCE_DIR}/scripts/check_layers.sh)
add_test(NAME headers_alone COMMAND ${CMAKE_SOURCE_DIR}/scripts/check_headers.sh)
add_test(NAME checks_can_fail
  COMMAND ${CMAKE_SOURCE_DIR}/tests/scripts/test_checks.sh
          ${CMAKE_BINARY_DIR}/scratch/checks)
if(NOT PN_SANITIZE)
  add_test(NAME no_globals COMMAND ${CMAKE_SOURCE_DIR}/scripts/check_no_globals.sh
    ${CMAKE_BINARY_DIR})
endif()
