// Putting two slices of the log together: the union of their entries, the same in any order and however
// often. What it means is read off the union: every value of a field that nobody has replaced, and every
// branch of a visit that two people went on with. No clock decides anything.
#pragma once

#include <string>
#include <vector>

#include "engine/bundle/entry.h"
#include "engine/problem.h"

namespace beckhand::bundle {

/// The union. Associative, commutative and idempotent; what is erased on one side is erased in the union,
/// and a wish to erase reaches everything that the union holds.
[[nodiscard]] LogSlice merge(const LogSlice& one, const LogSlice& other);

/// Erases a person's data: their name on every entry, the words of their notes, and notes of others that
/// hold the name as a word. The entries keep their names and places, so that merging still works; the wish
/// itself becomes an entry and travels on.
[[nodiscard]] LogSlice erase_person(const LogSlice& slice, const std::string& name, Instant at);

/// One field of a site with all values that hold. More than one: two people changed it without knowing of
/// each other, and a person has to say which is right.
struct FieldValues {
    std::string field;
    std::vector<const Entry*> live;      // never empty; in the order of their names
    const Entry* governs = nullptr;      // what the program counts with until a person decides
};
struct SiteView {
    std::string id;
    std::vector<FieldValues> fields;     // by key
    Site site;                           // with the values that govern
    std::vector<std::string> dangers;    // every text on the way there and its dangers that holds
};

/// A visit with its branches: one, unless two people went on from the same event.
struct VisitView {
    std::string id, site_id;
    std::vector<std::vector<const Entry*>> branches;  // each from its first event on; in the order of names
    std::vector<std::string> heeded;                  // cautions of stop rules met on any branch, sorted
    std::optional<Closing> standing;                  // the least hopeful of the closings; none while a
                                                      // branch is open
};

/// What the entries say together. The pointers live as long as the slice does.
[[nodiscard]] std::vector<SiteView> sites_of(const LogSlice& slice);
[[nodiscard]] std::vector<VisitView> visits_of(const LogSlice& slice);

/// The events of a branch as the fold takes them; an erased note is one without words, an event of a newer
/// program is left out.
[[nodiscard]] std::vector<Event> events_of(const std::vector<const Entry*>& branch);

/// The most cautious of values that hold together: the lowest pressure rating; of the way and its dangers
/// the one that says most. Elsewhere no value is safer than another, and the first by name is taken, so
/// that every device takes the same.
[[nodiscard]] const Entry* governing(const std::string& field, const std::vector<const Entry*>& live);

} // namespace beckhand::bundle
