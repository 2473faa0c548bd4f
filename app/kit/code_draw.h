// A code of dark and light squares (ISO/IEC 18004) for a camera: black on white in every theme, with the
// quiet zone of four squares that readers need.
#pragma once

#include <string_view>
#include <vector>

#include "app/kit/kit.h"

namespace beckhand::kit {

/// As large as the region's width and the height of the glass allow, in whole pixels a square.
void draw_code(Kit& kit, int squares, const std::vector<bool>& dark, std::string_view label);

} // namespace beckhand::kit
