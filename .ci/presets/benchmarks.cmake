# The benchmark programs, built as the program is released:
# cmake -C .ci/presets/benchmarks.cmake -S . -B build/benchmarks
include(${CMAKE_CURRENT_LIST_DIR}/release.cmake)
set(OVENTIDE_BENCHMARKS ON CACHE BOOL "")
set(OVENTIDE_TESTS OFF CACHE BOOL "")
