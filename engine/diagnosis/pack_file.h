// The pack as one SQLite file: the schema, and reading it back. The compiler in knowledge/ writes it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>

#include "engine/diagnosis/pack.h"

namespace beckhand {

inline constexpr std::int32_t pack_application_id = 0x42484b50; // "BHKP"
inline constexpr std::int32_t pack_schema = 4;                  // user_version; any other is refused

/// Reads a pack from the bytes of its file. Checks application id, schema number and content hash.
/// Fails with a Problem for anything that is not a whole, unchanged pack of this schema; never throws.
[[nodiscard]] Result<Pack> read_pack(std::span<const std::byte> bytes, const std::string& name);

/// The bytes of a pack file for these values; `pack.hash` is computed here and need not be set.
[[nodiscard]] Result<std::vector<std::byte>> write_pack(const Pack& pack);

/// Hash over the content (everything but `hash` itself), 64 hex digits, BLAKE2b-256.
[[nodiscard]] std::string content_hash(const Pack& pack);

} // namespace beckhand
