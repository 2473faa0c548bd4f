#include "engine/records/site_name.h"

#include <algorithm>
#include <string>

namespace beckhand {

Outcome check_site_name(std::string_view name) {
    // In UTF-8 each letter has one byte that does not go on from the byte before.
    const auto letters = static_cast<std::size_t>(
        std::count_if(name.begin(), name.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }));
    if (letters <= longest_site_name) return Done{};
    return Problem{"", "This name of a site has " + std::to_string(letters) + " letters; " + std::to_string(longest_site_name) +
                           " are the most.",
                   "Give it a shorter one; the way there and all else has its own place on the sheet."};
}

} // namespace beckhand
