// One thing that was set down somewhere, as it travels: a figure of a site, an event of a visit, or the wish
// that a person's data be erased. An entry names the entries it follows, so that what came after what is
// known without any clock. A LogSlice is a set of entries: all of a log, or the part that is handed over.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/bundle/digest.h"
#include "engine/diagnosis/visit.h"

namespace beckhand::bundle {

enum class About : std::uint8_t { site = 0, visit = 1, person = 2 };

struct Entry {
    About about = About::visit;
    std::string id;              // the site's, the visit's; of a person the mark (person_mark)
    std::string field;           // of a site: key in its JSON, "record" for the healthy record; else empty
    std::uint32_t place = 0;     // number of the event within its visit; 0 for a site and a person
    std::string device;          // who counted `number`; empty where the log does not know
    std::uint64_t number = 0;    // 1, 2, 3 ... of that device; 0 where the log does not know
    Instant at;                  // as the device believed; decides nothing
    std::vector<Digest> after;   // the event before it in the visit; the values of the field it replaces
    std::string by;              // a role or initials; empty once erased
    std::string json;            // event_json.h: the happening, or a part of a site; empty once erased
    std::string by_salt, json_salt;                 // secrets that go with what they guard; may be empty
    std::optional<Digest> by_erased, json_erased;   // the marks that stand where something was erased
};

/// What stands for a text in the name of an entry, so that erasing the text leaves the name as it was.
[[nodiscard]] Digest mark_of(std::string_view text, std::string_view salt);
/// The id of the wish to erase this person's data: it does not hold the name itself.
[[nodiscard]] std::string person_mark(std::string_view name);

/// The name of an entry: BLAKE2b-256 over the canonical CBOR of all of it, with marks for by and json.
[[nodiscard]] Digest name_of(const Entry& entry);

struct LogSlice {
    std::map<Digest, Entry> entries;                 // by name_of

    Digest add(Entry entry);                         // gives its name back
};

/// Equal for equal slices and, but for chance, for no others. As digits (fingerprint) two people can
/// compare it.
[[nodiscard]] Digest digest_of(const LogSlice& slice);

// What an entry may hold; enforced when a bundle is read, and kept to when one is written.
inline constexpr std::size_t most_entries = 50'000;
inline constexpr std::size_t most_sites = 1'000;
inline constexpr std::size_t most_events = 5'000;   // of one visit
inline constexpr std::size_t most_branches = 32;    // of one visit: what it means takes their product
inline constexpr std::size_t longest_id = 64;       // bytes; printable ASCII without space
inline constexpr std::size_t longest_by = 200;      // bytes of UTF-8 without control characters
inline constexpr std::size_t longest_json = 16'384; // bytes
inline constexpr std::size_t longest_salt = 32;     // bytes
inline constexpr std::size_t most_after = 64;       // values of one field that were seen and replaced

} // namespace beckhand::bundle
