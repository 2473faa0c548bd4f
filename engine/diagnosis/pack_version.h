// The version of a pack as numbers: "1.2.3". The first grows when an id is given up or means something else, the
// second with new causes, questions or numbers, the third with a better word.
#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace beckhand {

using PackVersion = std::array<int, 3>;

/// Three numbers of at most six digits with points between; nothing for any other text.
[[nodiscard]] inline std::optional<PackVersion> version_of(std::string_view text) {
    PackVersion version{};
    std::size_t at = 0;
    for (std::size_t i = 0; i < version.size(); ++i) {
        const std::size_t begin = at;
        while (at < text.size() && text[at] >= '0' && text[at] <= '9' && at - begin < 6) {
            version[i] = version[i] * 10 + (text[at++] - '0');
        }
        const bool ends_right = i + 1 == version.size() ? at == text.size() : at < text.size() && text[at++] == '.';
        if (at == begin || !ends_right || text[begin] < '0' || text[begin] > '9') return std::nullopt;
    }
    return version;
}

} // namespace beckhand
