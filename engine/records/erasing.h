// Erasing a person without breaking a chain: the name and the words of notes go, their marks stay. The wish
// is an entry like any other, with a mark of the name in place of the name; it travels, and reaches whatever
// it meets. A sheet that holds the name goes as a whole; the store first writes a new one without it.
#pragma once

#include <set>
#include <span>
#include <string>
#include <vector>

#include "engine/records/chain.h"

namespace beckhand {

/// The subject of the wish to erase this person: it does not hold the name, but who guesses it can confirm it.
[[nodiscard]] std::string person_mark(std::string_view name);

/// The marks that stand for `by` and `json` in the entry's hash, for as long as they are there: over the secret
/// and the entry's own place in its stream, so that entries of one person in a visit may share a secret (which a
/// hand-over then carries once) and their marks still tell nothing of each other.
[[nodiscard]] Hash mark_of_by(const LogEntry& entry);
[[nodiscard]] Hash mark_of_json(const LogEntry& entry);

/// Takes the words out of a note of anybody, of a handing on, or of a part in free words that holds `name` as
/// a word. Sheets are left. True when there was something to do.
bool erase_mention(LogEntry& entry, const std::string& name);

/// Whether a sheet holds `name` as a word on the way to the site or who to call.
[[nodiscard]] bool sheet_mentions(const LogEntry& sheet, const std::string& name);
/// Takes out the whole sheet: one without the name must stand behind it.
void erase_sheet(LogEntry& sheet);
/// These texts of the site with "(erased)" where the name was.
[[nodiscard]] Site without_name(Site site, const std::string& name);

/// A place that holds a name and that no erasing reaches: it is shown, so that people know.
struct NamedPlace {
    std::string subject;         // the site or the visit
    std::int64_t place = 0;      // version of the sheet, or number of the event
    std::string kind;            // of the entry
    std::string text;            // what holds the name
};
/// In the entries as they are: names of sites, headlines, and what visits copied from a sheet when they began.
/// The same text in many entries of one subject is named once.
[[nodiscard]] std::vector<NamedPlace> places_left(std::span<const LogEntry> entries, const std::string& name);

/// Takes out the name, the words of a note, and to whom a site was handed on, where the person's mark is
/// among `wished`.
bool heed(LogEntry& entry, const std::set<std::string>& wished);
/// What is erased in `other`, the same entry from elsewhere, is erased in `kept` too.
bool join_erased(LogEntry& kept, const LogEntry& other);

} // namespace beckhand
