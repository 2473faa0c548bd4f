#include "engine/bundle/digest.h"

#include <sodium.h>

namespace beckhand::bundle {

Digest digest_of(ByteView bytes) {
    Digest digest{};
    crypto_generichash(digest.data(), digest.size(), bytes.data(), bytes.size(), nullptr, 0);
    return digest;
}

std::string hex(ByteView bytes) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string text;
    for (const std::uint8_t byte : bytes) {
        text += digits[byte >> 4];
        text += digits[byte & 15];
    }
    return text;
}

std::string fingerprint(ByteView bytes) {
    const Digest digest = digest_of(bytes);
    std::string text;
    for (std::size_t group = 0; group < 4; ++group) {
        // Four bytes for four digits: the digits differ in likelihood by less than one in 400,000.
        std::uint64_t number = 0;
        for (std::size_t byte = 0; byte < 4; ++byte) {
            number = number << 8 | digest[group * 4 + byte];
        }
        const std::string four = std::to_string(number % 10'000 + 10'000);
        text += (text.empty() ? "" : " ") + four.substr(1);
    }
    return text;
}

} // namespace beckhand::bundle
