// What toml++ 3.3 must not be given, asked before it reads: case files, site files and the pack's own.
#pragma once

#include <optional>
#include <string>

#include "engine/problem.h"

namespace beckhand {

/// Why a text is kept from the TOML reader, or nothing: a line that would use up its stack, or a letter beyond
/// ASCII where it would look at it in code that it calls unreachable. `name`: of the file.
[[nodiscard]] std::optional<Problem> unsafe_toml(const std::string& text, const std::string& name);

} // namespace beckhand
