// Putting two slices of the log together: the union of their entries, the same in any order and however
// often. What the union means is read off it by engine/records/meaning.h, as the log itself does.
#pragma once

#include <string>
#include <vector>

#include "engine/bundle/entry.h"
#include "engine/records/meaning.h"

namespace beckhand::bundle {

/// The union. Associative, commutative and idempotent; what is erased on one side is erased in the union,
/// and a wish to erase reaches everything that the union holds. Store::take_in does the same in the log.
[[nodiscard]] LogSlice merge(const LogSlice& one, const LogSlice& other);

/// What Store::erase_person would leave, but for the sheets of sites, which the store renews: `wish` is the entry
/// with the person's wish, to be added.
[[nodiscard]] LogSlice erase_person(const LogSlice& slice, const std::string& name, LogEntry wish);

/// What the entries say together. The pointers live as long as the slice does.
[[nodiscard]] std::vector<SiteView> sites_of(const LogSlice& slice);
[[nodiscard]] std::vector<VisitView> visits_of(const LogSlice& slice);

} // namespace beckhand::bundle
