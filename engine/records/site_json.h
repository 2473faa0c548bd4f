// A site as a JSON value: what stands in a site's row of the log and inside the event that opens a visit.
// For the files that read and write JSON; everyone else takes the text of event_json.h.
#pragma once

#include <nlohmann/json.hpp>

#include "engine/hydraulics/site.h"
#include "engine/problem.h"

namespace beckhand {

using SiteJson = nlohmann::ordered_json;

/// Keys carry their unit: fall_m. What the site does not say has no key.
[[nodiscard]] SiteJson json_of(const Site& site);
/// A key that is not known here, or a value of the wrong shape, is a Problem that names it.
[[nodiscard]] Result<Site> site_of(const SiteJson& json);

/// Whether every figure of the site is a number that can be written.
[[nodiscard]] bool all_finite(const Site& site);

} // namespace beckhand
