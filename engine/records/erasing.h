// Erasing a person without breaking a chain: the name and the words of notes go, their marks stay. The wish
// is an entry like any other, with a mark of the name in place of the name; it travels, and reaches whatever
// it meets.
#pragma once

#include <set>
#include <string>

#include "engine/records/chain.h"

namespace beckhand {

/// The subject of the wish to erase this person: it does not hold the name, but who guesses it can confirm it.
[[nodiscard]] std::string person_mark(std::string_view name);

/// The marks that stand for `by` and `json` in the entry's hash, for as long as they are there: over the secret
/// and the entry's own place in its stream, so that entries of one person in a visit may share a secret (which a
/// hand-over then carries once) and their marks still tell nothing of each other.
[[nodiscard]] Hash mark_of_by(const LogEntry& entry);
[[nodiscard]] Hash mark_of_json(const LogEntry& entry);

/// Takes the words out of a note of anybody, or of a handing on, that holds `name` as a word. True when there was something to do.
bool erase_mention(LogEntry& entry, const std::string& name);
/// Takes out the name, the words of a note, and to whom a site was handed on, where the person's mark is
/// among `wished`.
bool heed(LogEntry& entry, const std::set<std::string>& wished);
/// What is erased in `other`, the same entry from elsewhere, is erased in `kept` too.
bool join_erased(LogEntry& kept, const LogEntry& other);

} // namespace beckhand
