// The copy of the time loop for vectors of 32 bytes. Only what stands between push and pop may use them: the
// standard headers and the room's shared ones come first, so that no function that others link to is compiled
// for a machine that may not be there.
#include "engine/pump/paths.h"

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)

#include <immintrin.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <limits>
#include <memory>
#include <type_traits>
#include <utility>
#include <vector>

#define BECKHAND_WIDE
#pragma GCC push_options
#pragma GCC target("avx2")
#include "engine/pump/loop.h"

namespace beckhand {

PumpRun simulate_wide(const PumpDesign& design, const RunOptions& options) {
    return run_one(design, options);
}

std::unique_ptr<EightPumps> begin_eight_wide(const PumpDesign* designs, std::size_t count, const RunOptions& options) {
    return std::make_unique<Eight>(designs, count, options);
}

} // namespace beckhand
#pragma GCC pop_options

namespace beckhand {

bool wide_vectors_here() {
    return __builtin_cpu_supports("avx2") != 0;
}

} // namespace beckhand

#else

#include <cstdlib>

namespace beckhand {

bool wide_vectors_here() {
    return false;
}

PumpRun simulate_wide(const PumpDesign&, const RunOptions&) {
    std::abort();
}

std::unique_ptr<EightPumps> begin_eight_wide(const PumpDesign*, std::size_t, const RunOptions&) {
    std::abort();
}

} // namespace beckhand

#endif
