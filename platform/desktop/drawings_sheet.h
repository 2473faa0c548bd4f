// All small drawings on one sheet: a line for each observation, its question above, under each drawing what the answer
// says. For people who look at drawings.
#pragma once

#include <optional>
#include <string>

#include "app/kit/kit.h"
#include "engine/diagnosis/pack.h"

namespace beckhand {

/// Writes the PNG; at this many seconds of their motion, or still. Fails when the file cannot be written.
[[nodiscard]] Outcome draw_drawings_sheet(kit::Kit& kit, const Pack& pack, std::optional<double> at_seconds, float scale,
                                          const std::string& png_path);

} // namespace beckhand
