# Everything that the compiler can find out while it runs: cmake -C .ci/presets/checks.cmake -S . -B build/checks
set(CMAKE_GENERATOR Ninja CACHE INTERNAL "")
set(CMAKE_BUILD_TYPE Debug CACHE STRING "")
set(CMAKE_CXX_FLAGS_DEBUG "-O1 -g1 -fno-omit-frame-pointer" CACHE STRING "")
set(OVENTIDE_SANITIZE ON CACHE BOOL "")
