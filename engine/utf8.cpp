#include "engine/utf8.h"

namespace beckhand {

Utf8Letter utf8_letter(std::string_view text, std::size_t at) {
    const auto first = static_cast<unsigned char>(text[at]);
    if (first < 0x80) return {first, 1};
    const std::size_t more = first >= 0xf0 ? 3 : first >= 0xe0 ? 2 : 1;
    if (first < 0xc2 || first > 0xf4 || text.size() - at <= more) return {};
    char32_t point = first & (0x3fU >> more);
    for (std::size_t k = 1; k <= more; ++k) {
        const auto next = static_cast<unsigned char>(text[at + k]);
        if ((next & 0xc0U) != 0x80) return {};
        point = (point << 6) | (next & 0x3fU);
    }
    const bool overlong = (more == 2 && point < 0x800) || (more == 3 && point < 0x10000);
    const bool no_letter = (point >= 0xd800 && point <= 0xdfff) || point > 0x10ffff;
    return overlong || no_letter ? Utf8Letter{} : Utf8Letter{point, 1 + more};
}

bool is_utf8(std::string_view text) {
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t bytes = utf8_letter(text, at).bytes;
        if (bytes == 0) return false;
        at += bytes;
    }
    return true;
}

} // namespace beckhand
