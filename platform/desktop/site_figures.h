// The figures of a site's sheet at a terminal, asked one after the other.
#pragma once

#include <iosfwd>

#include "engine/hydraulics/site.h"
#include "engine/quantity/text.h"

namespace beckhand {

/// Asks for each figure and the drive pipe's material, with what the sheet says now. An empty line leaves it, a dash
/// takes it out; the end of the input, or a q, leaves the rest. True when something was changed.
bool ask_site_figures(Site& site, Units units, std::istream& in, std::ostream& out);

} // namespace beckhand
