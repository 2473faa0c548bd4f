// A file that a person names, read whole.
#pragma once

#include <string>
#include <string_view>

#include "engine/problem.h"

namespace beckhand {

/// More than any case, site or pack ever holds; what is longer was named by mistake.
inline constexpr std::size_t longest_file = 16U << 20; // bytes

/// The bytes of a file of at most `longest_file`. A Problem for what is not there, is a folder, may not be
/// read, or is too long. An empty file is read as "".
[[nodiscard]] Result<std::string> read_text_file(const std::string& path);

/// The first line of more than 4000 bytes, counted from 1; 0 where there is none. No hand writes one, and a
/// parser that goes down into each part of "[a.a.a..." runs out of stack.
[[nodiscard]] std::size_t overlong_line(std::string_view text);

} // namespace beckhand
