// What a screen sounds like: the sentences that are read aloud to somebody whose eyes are on the pump. Pure.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "app/kit/kit.h"

namespace beckhand {

/// What stands on a screen, in the order in which it is said: dangers first, then the words, then what can be pressed,
/// each with its number where a key presses it. Not the heading, the bar or what is only drawn.
[[nodiscard]] std::vector<std::string> read_out(std::span<const kit::Control> controls);

/// Units and signs as one says them: "12.5 L/min" is "12.5 litres a minute", "2 - 3 m" is "2 to 3 metres".
[[nodiscard]] std::string spoken(std::string_view words);

} // namespace beckhand
