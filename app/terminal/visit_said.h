// What a typed line means in a visit. Numbers are read strictly: what is not one of the answers is refused
// with those that are.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "app/state.h"

namespace beckhand {

/// Without the space around it.
[[nodiscard]] std::string trimmed(std::string_view text);
/// The same in small letters (ASCII only).
[[nodiscard]] std::string small_letters(std::string_view text);

/// A number from 1 to `most` in digits and nothing else; a Problem for "2.5", "3rd" or 4294967297.
[[nodiscard]] Result<int> chosen_number(std::string_view text, int most);

/// The events that a line stands for at this scene; a Problem when it stands for none.
[[nodiscard]] Result<std::vector<Happening>> said(const State& state, const Pack& pack, const std::string& line);

/// What stands behind the word part: a number of the fix's list, or a name; "2 gasket sheet" is two of them.
[[nodiscard]] Result<PartUsed> said_part(const State& state, const Pack& pack, const std::string& text);
/// Where two answers cannot both be true: which of them the line wants to look at again, if it does.
[[nodiscard]] std::optional<LookAgain> looks_again(const State& state, const std::string& line);

/// True when a line would end a fix of which no step was done.
[[nodiscard]] bool ends_untouched_fix(const State& state, const std::string& line);

} // namespace beckhand
