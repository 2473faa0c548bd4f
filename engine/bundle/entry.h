// The log's entries on their way to another device: a LogSlice is a set of them, all of a log or the part that
// is handed over, and what an entry that comes from outside may be.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/bundle/digest.h"
#include "engine/problem.h"
#include "engine/records/chain.h"

namespace beckhand::bundle {

struct LogSlice {
    std::map<Digest, LogEntry> entries;              // by hash

    Digest add(LogEntry entry);                      // sets the hash and gives it back
};

[[nodiscard]] LogSlice slice_of(const std::vector<LogEntry>& entries);
[[nodiscard]] std::vector<LogEntry> entries_of(const LogSlice& slice);

/// Equal for equal slices and, but for chance, for no others. As digits (fingerprint) two people can
/// compare it.
[[nodiscard]] Digest digest_of(const LogSlice& slice);

/// Whether an entry is a site's sheet, an event of a visit, or a person's wish.
enum class About : std::uint8_t { site = 0, visit = 1, person = 2 };
[[nodiscard]] About about(const LogEntry& entry);

/// What is wrong with an entry, or nothing.
[[nodiscard]] std::optional<Problem> entry_problem(const LogEntry& entry);

// What an entry may hold; enforced when a bundle is read, and kept to when one is written.
inline constexpr std::size_t most_entries = 50'000;
inline constexpr std::size_t most_sites = 1'000;
inline constexpr std::size_t most_events = 5'000;   // of one visit; sheets of one site
inline constexpr std::size_t most_branches = 32;    // of one: what it means takes their product
inline constexpr std::size_t longest_id = 64;       // bytes; printable ASCII without space
inline constexpr std::size_t longest_line = 200;    // bytes of UTF-8 without control characters: names, headlines
inline constexpr std::size_t longest_json = 16'384; // bytes
inline constexpr std::size_t longest_secret = 32;   // bytes
inline constexpr std::size_t most_after = 64;       // sheets that were seen and written over

} // namespace beckhand::bundle
