// The site check and what a site should give, as text for a terminal.
#pragma once

#include <string>

#include "engine/hydraulics/expectation.h"
#include "engine/quantity/text.h"

namespace beckhand {

/// Every published limit with its state, by how much it is broken and what that looks like at the pump;
/// then what the site should give. `broken` counts the limits that do not hold.
[[nodiscard]] std::string site_check_text(const Site& site, Units units, int& broken);

} // namespace beckhand
