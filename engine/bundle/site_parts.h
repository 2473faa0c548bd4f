// A site as entries, a figure each, and a visit as a chain of them: the edge between a log that keeps whole
// sites and numbered events, and a bundle.
#pragma once

#include "engine/bundle/merge.h"
#include "engine/problem.h"

namespace beckhand::bundle {

/// One entry for each figure and text that is known, as of a log that keeps no history of them: without a
/// time or a device, so that the same value on two devices is the same entry.
[[nodiscard]] Result<std::vector<Entry>> entries_of_site(const std::string& id, const Site& site);

/// The part of a site that a field's entry holds, put into `site`; false when this program cannot.
bool put_part(Site& site, const std::string& json);

/// The events of a visit, each after the one before it.
[[nodiscard]] Result<std::vector<Entry>> entries_of_visit(const std::string& id, std::span<const Event> events);

} // namespace beckhand::bundle
