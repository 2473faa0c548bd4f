// The middle of values: one that went wrong does not move it.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace beckhand {

/// The middle one by size; of an even number the upper of the two. Not of none.
template <class T>
[[nodiscard]] T middle_of(std::vector<T> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

} // namespace beckhand
