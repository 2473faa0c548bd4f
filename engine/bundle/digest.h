// Bytes, their BLAKE2b-256 names, and how such a name is shown to a person: what the whole room counts on.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace beckhand::bundle {

using Bytes = std::vector<std::uint8_t>;
using ByteView = std::span<const std::uint8_t>;
using Digest = std::array<std::uint8_t, 32>;

/// BLAKE2b-256 (RFC 7693), by libsodium.
[[nodiscard]] Digest digest_of(ByteView bytes);
[[nodiscard]] inline ByteView view(std::string_view text) {
    return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}

[[nodiscard]] std::string hex(ByteView bytes);

/// Four groups of four digits: "4821 0937 5560 1148". Two people read it to each other to see that two
/// devices, or two logs, are the same. About 53 bits: enough against a mistake and against a key made up on
/// the spot, not against years of search for a twin.
[[nodiscard]] std::string fingerprint(ByteView bytes);

} // namespace beckhand::bundle
