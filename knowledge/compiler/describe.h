// A pack, or one thing of it, in words for a reader.
#pragma once

#include <string>
#include <string_view>

#include "engine/diagnosis/pack.h"
#include "engine/problem.h"

namespace beckhand {

/// Version, issue date, hash and how much is in it; a few lines.
[[nodiscard]] std::string describe(const Pack& pack);

/// Everything the pack says of the cause, observation, measurement or caution with this id, in that order
/// of looking. Fails with the nearest known id when there is none.
[[nodiscard]] Result<std::string> describe(const Pack& pack, std::string_view id);

} // namespace beckhand
