// Fields of a site that two people changed without knowing of each other, in words for the site sheet.
#pragma once

#include <string>
#include <vector>

#include "engine/quantity/text.h"
#include "engine/records/store.h"

namespace beckhand {

/// "Fall: 3.2 m and 3.5 m. Counted with 3.2 m until somebody changes it.", a line each.
[[nodiscard]] std::vector<std::string> difference_lines(const SiteRow& row, Units units);

} // namespace beckhand
