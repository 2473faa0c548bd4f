// What every pack must be for the engine to work with it, wherever it came from: the part of the linter
// that also stands guard when a pack file is opened on the phone.
#pragma once

#include <optional>

#include "engine/diagnosis/pack.h"

namespace beckhand {

/// The first thing that makes a pack unusable, or nothing: an id given twice, a reference to nothing, an
/// observation with fewer than two answers or no `cannot` at the end, a price or weight that is not a
/// positive finite number, a cause with neither effects in the pump nor a reason for having none, or with an
/// effect that leaves no pump, bands that do not rise or do not fit, text that is not plain UTF-8.
/// `where` of the Problem is "cause screen_matted" or the like.
[[nodiscard]] std::optional<Problem> unsound(const Pack& pack);

/// Valid UTF-8 without control characters (line feed and tab are fine) and without characters that turn
/// the direction of writing.
[[nodiscard]] bool is_plain_text(std::string_view text);

} // namespace beckhand
