// A plot as a file: SVG as its text, PNG drawn into memory with the program's own letters.
#pragma once

#include <string>

#include "app/terminal/plot.h"
#include "engine/problem.h"

namespace beckhand {

/// PNG (two dots for each of the plot's) where the path ends in ".png", else SVG. Fails when the file cannot
/// be written. For PNG no Kit may be alive: it makes a Dear ImGui context of its own.
[[nodiscard]] Outcome write_plot(const Plot& plot, const std::string& path);

} // namespace beckhand
