// The outside of a bundle: what it is, how large, who signed it, and the packed inside. Everything is
// checked from the outside in, and nothing is unpacked before its signature and its sizes are known good.
//
//     4  "BKHB"          1  format, 1           1  what it is
//     4  bytes packed    4  bytes unpacked      32 the signer's public key    64 signature
//     the inside, one zstd frame                (numbers: most significant byte first)
//
// The signature (Ed25519, RFC 8032) is over a fixed sentence, everything above but itself, and the packed
// inside: what it is, is signed too, so that a receipt can never pass for a log.
#pragma once

#include "engine/bundle/digest.h"
#include "engine/problem.h"

namespace beckhand::bundle {

using PublicKey = std::array<std::uint8_t, 32>;
using Signature = std::array<std::uint8_t, 64>;

/// A device's key pair. Made once from 32 random bytes that the platform draws and keeps.
struct DeviceKey {
    PublicKey open{};
    std::array<std::uint8_t, 64> secret{};
};
[[nodiscard]] DeviceKey device_key(std::span<const std::uint8_t, 32> seed);
[[nodiscard]] Signature sign(ByteView message, const DeviceKey& key);
[[nodiscard]] bool signed_by(const PublicKey& signer, const Signature& signature, ByteView message);

enum class Content : std::uint8_t { log = 1, receipt = 2, pack = 3 };

// Limits, on the way out and on the way in.
inline constexpr std::size_t header_size = 110;
inline constexpr std::size_t most_packed = 8u << 20;    // bytes of a whole bundle
inline constexpr std::size_t most_unpacked = 32u << 20;
inline constexpr std::size_t most_times_larger = 200;   // unpacked to packed, beyond the first 64 KiB

struct Sealed {
    Content content = Content::log;
    PublicKey signer{};
    Digest name{};          // of the whole bundle as it came
    Bytes inside;
};

/// Packs and signs. Fails with a Problem when the inside is beyond the limits.
[[nodiscard]] Result<Bytes> seal(Content content, ByteView inside, const DeviceKey& key);

/// Checks and unpacks. Fails with a Problem for anything but a whole, unchanged bundle within the limits.
[[nodiscard]] Result<Sealed> unseal(ByteView bundle);

} // namespace beckhand::bundle
