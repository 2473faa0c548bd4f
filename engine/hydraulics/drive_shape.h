// Is the drive pipe the right shape for its fall and pump? The site sheet's own answer to that question.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "engine/hydraulics/site.h"

namespace beckhand {

/// Bands of length to fall (5 to 10 in USDA Bulletin 57, 1914, widened because published rules disagree), of
/// length to bore (after Calvert 1957/58, from memory), and of drive bore to pump bore (common practice).
inline constexpr double least_length_by_fall = 4, most_length_by_fall = 12;
inline constexpr double least_length_by_bore = 150, most_length_by_bore = 1000;
inline constexpr double least_bore_by_pump = 0.8, most_bore_by_pump = 1.25;

/// Chances of the answers "in_band", "short", "long", "wide", "narrow"; they sum to 1 and none is quite 0.
/// Outside both length rules gives about 0.95 to that answer; outside one, half of that band's word and half
/// in_band, because sources disagree. Edges are soft: a pipe on the edge is half outside. Absent where not
/// one of the three ratios can be formed from the site.
[[nodiscard]] std::optional<std::map<std::string, double>> drive_shape_chances(const Site& site);

} // namespace beckhand
