// What the site sheet already answers, so that nobody is asked: the shape and material of the drive pipe,
// a tank below the delivery pipe's summit.
#pragma once

#include <map>
#include <string>

#include "engine/hydraulics/site.h"

namespace beckhand {

/// Chances of answers by observation id, then answer id; each observation's sum to one. A sheet may be old,
/// so none of them is certain.
[[nodiscard]] std::map<std::string, std::map<std::string, double>> site_facts(const Site& site);

} // namespace beckhand
