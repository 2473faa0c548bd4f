// One program for all tests; `beckhand_tests -ltc` lists them.
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>
