// A promise that does not hold stops the program, so that libFuzzer and ctest both see it.
#include "tests/fuzz/targets.h"

#include <cstdio>
#include <cstdlib>

namespace beckhand::fuzz {

void must(bool holds, const char* promise) {
    if (holds)
        return;
    std::fprintf(stderr, "broken promise: %s\n", promise);
    std::abort();
}

} // namespace beckhand::fuzz
