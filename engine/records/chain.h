// The log's entries and the chain that holds them together: every entry carries a hash over the one before
// it on the same device and over its own bytes, so that no later change, by damage or by hand, stays unseen.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/diagnosis/visit.h"

namespace beckhand {

using Hash = std::array<std::uint8_t, 32>;

/// The kind of an entry that holds a site's sheet, and of one that is a person's wish to be erased; every
/// other kind is an event of a visit.
inline constexpr std::string_view site_sheet_kind = "site_sheet";
inline constexpr std::string_view erase_wish_kind = "erase_wish";
/// Entries whose JSON may hold a person's name or words: notes, to whom a site was handed on, parts in free
/// words, and sheets with the way to a site and who to call. The trigger in schema.cpp has the same list.
[[nodiscard]] inline bool names_people(std::string_view kind) {
    return kind == "noted" || kind == "offered" || kind == "received" || kind == "part_used" ||
           kind == site_sheet_kind;
}

/// One entry as it is kept, and as it goes from device to device. Its hash names it for ever.
struct LogEntry {
    std::string device;          // 32 hex digits, one stream of entries each
    std::int64_t number = 0;     // 1, 2, 3 ... within the device's stream, without a gap where it was written
    std::string subject;         // id of the visit or of the site; of a wish the person's mark
    std::int64_t place = 0;      // number of the event within its visit; version of the site's sheet
    Instant at;                  // as the device's clock said, right or wrong; decides nothing
    std::string kind;            // kind_of the event, or one of those above
    std::string headline;        // of the visit after this event, as the app put it
    std::vector<Hash> after;     // the event before it in its visit; the sheets it was written over. Sorted
    std::string by;              // who; empty once erased
    std::string json;            // the event or the site; a newer program's kinds are kept. Empty once erased
    std::string by_secret;       // random bytes that go with `by` and, if it names_people, `json`, so that what
    std::string json_secret;     // is left after an erasing cannot be guessed from its mark
    std::optional<Hash> by_erased, json_erased;  // the marks that stand where something was erased
    Hash prev{};                 // hash of the entry before it on its device; zeros before the first
    Hash hash{};                 // hash_of(entry)
};

/// What stands for a text in an entry's hash, so that erasing the text leaves the hash as it was.
[[nodiscard]] Hash mark_of(std::string_view text, std::string_view secret);

/// BLAKE2b, 32 bytes, keyless (RFC 7693; libsodium's crypto_generichash), over `prev` and the canonical
/// bytes: a title, then every other member, texts with their length before them, numbers as 8 bytes, least
/// first; `by` and `json` by their marks. LOG.md gives the layout.
[[nodiscard]] Hash hash_of(const LogEntry& entry);

/// BLAKE2b of any bytes, 32 long: for the sums of the tables that lists read.
[[nodiscard]] Hash hash_of_bytes(std::string_view bytes);

/// The hashes one behind the other, as bytes.
[[nodiscard]] std::string bytes_of(const std::vector<Hash>& hashes);

/// Adds a text with its length, or a number, to bytes that are to be hashed.
void put(std::string& bytes, std::string_view text);
void put(std::string& bytes, std::int64_t number);

} // namespace beckhand
