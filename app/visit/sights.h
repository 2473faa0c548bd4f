// First sights that cannot both be: one rule for the window and the terminal.
#pragma once

#include <optional>
#include <string>

#include "engine/diagnosis/pack.h"

namespace beckhand {

/// They answer one question that has one answer, or one is seen on a pump that runs and the other on one that stands.
[[nodiscard]] bool exclude_each_other(const Pack& pack, const FirstSight& one, const FirstSight& other);

} // namespace beckhand
