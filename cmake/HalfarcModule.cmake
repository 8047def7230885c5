# How halfarc's targets are made. Every module is a target of its own and sees only the headers of the modules it
# names, through a private include folder that holds one link: so an include that skips a floor does not build.

# Warnings, language and sanitizers for our own targets only.
function(halfarc_compile_rules target)
  target_compile_features(${target} PUBLIC cxx_std_20)
  target_compile_options(${target} PRIVATE
    -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion -Wno-psabi -Werror
    -ffp-contract=off -fopenmp-simd -fno-math-errno)
  if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
    # g++ 12 sees overlaps in the standard library's own string concatenation that are not there (GCC bug 105651).
    target_compile_options(${target} PRIVATE -Wno-restrict)
  endif()
  if(CMAKE_CXX_COMPILER_ID STREQUAL "Clang")
    # clang says so when a loop that asks for simd cannot have it; that costs speed, never results.
    target_compile_options(${target} PRIVATE -Wno-pass-failed)
  endif()
  if(HALFARC_SANITIZE)
    target_compile_options(${target} PUBLIC -fsanitize=${HALFARC_SANITIZE} -fno-sanitize-recover=all -fno-omit-frame-pointer)
    target_link_options(${target} PUBLIC -fsanitize=${HALFARC_SANITIZE})
  endif()
  if(HALFARC_FUZZ)
    target_compile_options(${target} PRIVATE -fsanitize=fuzzer-no-link)
  endif()
endfunction()

# halfarc_add_module(<name> SOURCES a.cpp ... DEPENDS base frames ... LINKS public libs PRIVATE_LINKS private libs)
function(halfarc_add_module name)
  cmake_parse_arguments(MODULE "" "" "SOURCES;DEPENDS;LINKS;PRIVATE_LINKS" ${ARGN})
  add_library(halfarc_${name} STATIC ${MODULE_SOURCES})
  halfarc_compile_rules(halfarc_${name})

  set(include_root ${CMAKE_BINARY_DIR}/include/${name})
  file(MAKE_DIRECTORY ${include_root}/halfarc)
  file(CREATE_LINK ${CMAKE_CURRENT_SOURCE_DIR} ${include_root}/halfarc/${name} SYMBOLIC)
  target_include_directories(halfarc_${name} PUBLIC ${include_root})

  list(TRANSFORM MODULE_DEPENDS PREPEND halfarc_ OUTPUT_VARIABLE modules)
  target_link_libraries(halfarc_${name} PUBLIC ${modules} ${MODULE_LINKS} PRIVATE ${MODULE_PRIVATE_LINKS})
endfunction()

# halfarc_add_tests(<name> SOURCES a_test.cpp ... DEPENDS modules ... LINKS libs): one test program, each test in ctest.
function(halfarc_add_tests name)
  cmake_parse_arguments(TESTS "" "TIMEOUT" "SOURCES;DEPENDS;LINKS" ${ARGN})
  if(NOT TESTS_TIMEOUT)
    set(TESTS_TIMEOUT 300)
  endif()
  add_executable(${name} ${TESTS_SOURCES})
  halfarc_compile_rules(${name})
  list(TRANSFORM TESTS_DEPENDS PREPEND halfarc_ OUTPUT_VARIABLE modules)
  target_link_libraries(${name} PRIVATE ${modules} ${TESTS_LINKS} GTest::gtest_main GTest::gmock)
  target_include_directories(${name} PRIVATE ${PROJECT_SOURCE_DIR}/tests/support)
  gtest_discover_tests(${name} PROPERTIES TIMEOUT ${TESTS_TIMEOUT} DISCOVERY_TIMEOUT 60)
endfunction()
