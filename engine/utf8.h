// UTF-8 letter by letter (RFC 3629): no overlong forms, no halves of pairs, nothing beyond U+10FFFF.
#pragma once

#include <cstddef>
#include <string_view>

namespace beckhand {

struct Utf8Letter {
    char32_t point = 0;
    std::size_t bytes = 0; // 0: what stands there is not UTF-8
};

/// The letter that begins at this byte; `at` must be within the text.
[[nodiscard]] Utf8Letter utf8_letter(std::string_view text, std::size_t at);

/// Whether a text is UTF-8 throughout.
[[nodiscard]] bool is_utf8(std::string_view text);

} // namespace beckhand
