// Two upright lines, so many millimetres apart by this glass's own idea of a millimetre.
#pragma once

#include <string_view>

#include "app/kit/kit.h"

namespace beckhand::kit {

/// Draws them in the middle of the column and returns the box between them, in pixels.
Box draw_edges(Kit& kit, float apart_mm, std::string_view label);

} // namespace beckhand::kit
