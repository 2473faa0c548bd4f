// What is worked out beside the drawing, in slices: between two of them fingers are heard.
#pragma once

#include <chrono>

#include "app/app.h"

namespace beckhand {

struct Worked {
    bool any = false;    // something to look at anew
    bool more = false;   // there is more to do
};

/// 12 ms at most, or one piece of work where that takes longer.
[[nodiscard]] inline Worked work_a_slice(App& app) {
    constexpr std::chrono::milliseconds most(12);
    const auto began = std::chrono::steady_clock::now();
    Worked worked;
    do {
        worked.more = app.work();
        worked.any = worked.any || worked.more;
    } while (worked.more && std::chrono::steady_clock::now() - began < most);
    return worked;
}

} // namespace beckhand
