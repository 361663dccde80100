# Every tests/unit/<capability>/test_*.c and tests/ref/test_ref_*.c is one
# ctest; every tests/fuzz/fuzz_<entry>.c is replayed over its saved inputs.
enable_testing()
set(pn_all pn_guide_data pn_sheets pn_check pn_guide pn_outlook pn_season
  pn_soil pn_ground pn_sky pn_exchange pn_notebook pn_paper
  pn_score pn_base)

function(pn_test name source)
  add_executable(${name} ${source})
  target_link_libraries(${name} PRIVATE pn_flags cmocka ${pn_all})
  target_include_directories(${name} PRIVATE ${CMAKE_SOURCE_DIR}/tests
    ${CMAKE_SOURCE_DIR}/src)
  target_compile_definitions(${name} PRIVATE
    PN_TEST_DATA="${CMAKE_SOURCE_DIR}/tests"
    PN_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
  add_test(NAME ${name} COMMAND ${name})
  set_tests_properties(${name} PROPERTIES TIMEOUT 300)
endfunction()

file(GLOB unit_tests CONFIGURE_DEPENDS tests/unit/*/test_*.c tests/ref/test_ref_*.c)
foreach(source ${unit_tests})
  get_filename_component(name ${source} NAME_WE)
  pn_test(${name} ${source})
endforeach()

file(GLOB fuzz_sources CONFIGURE_DEPENDS tests/fuzz/fuzz_*.c)
foreach(source ${fuzz_sources})
  get_filename_component(fuzz ${source} NAME_WE)
  string(REPLACE "fuzz_" "" entry ${fuzz})
  file(GLOB corpus CONFIGURE_DEPENDS tests/fuzz/corpus/${entry}/*)
  add_executable(replay_${entry} tests/fuzz/replay.c ${source})
  target_link_libraries(replay_${entry} PRIVATE pn_flags ${pn_all})
  add_test(NAME replay_${entry} COMMAND replay_${entry} ${corpus})
  if(PN_BUILD_FUZZERS)
    add_executable(${fuzz} ${source})
    target_link_libraries(${fuzz} PRIVATE pn_flags ${pn_all})
    target_link_options(${fuzz} PRIVATE -fsanitize=fuzzer)
  endif()
endforeach()

# Scripts that drive the built program as a person would. Each gets the path
# of the program and a scratch folder of its own.
file(GLOB cli_tests CONFIGURE_DEPENDS tests/cli/test_*.sh)
foreach(source ${cli_tests})
  get_filename_component(name ${source} NAME_WE)
  string(REPLACE "test_" "cli_" name ${name})
  add_test(NAME ${name} COMMAND bash ${source} $<TARGET_FILE:pannage>
    ${CMAKE_BINARY_DIR}/scratch/${name})
  set_tests_properties(${name} PROPERTIES TIMEOUT 600
    WORKING_DIRECTORY ${CMAKE_SOURCE_DIR})
endforeach()

# Proofs: programs that try the check on many specimens, print what they found
# and fail when the proof does.
file(GLOB truths CONFIGURE_DEPENDS tests/truth/truth_*.c)
foreach(source ${truths})
  get_filename_component(name ${source} NAME_WE)
  add_executable(${name} ${source})
  target_link_libraries(${name} PRIVATE pn_flags ${pn_all})
  target_include_directories(${name} PRIVATE ${CMAKE_SOURCE_DIR}/tests)
endforeach()
# A sample of the open table's specimens; all of them: make check-proof.
add_test(NAME truth_mushrooms
  COMMAND truth_mushrooms ${CMAKE_SOURCE_DIR}/tests/ref/check 20)
set_tests_properties(truth_mushrooms PROPERTIES TIMEOUT 1200)
# No sheet is more permissive than that table.
add_test(NAME truth_cross_check
  COMMAND truth_cross_check ${CMAKE_SOURCE_DIR}/tests/ref/check)
# 200 specimens of each dangerous kind; a few under the slow sanitizers.
if(PN_SANITIZE)
  set(specimens 4)
else()
  set(specimens 200)
endif()
add_test(NAME truth_guide COMMAND truth_guide ${specimens})
set_tests_properties(truth_guide PROPERTIES TIMEOUT 1200)

include(tests/scripts.cmake)
