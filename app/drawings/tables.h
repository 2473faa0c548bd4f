// The tables of the small drawings: a line for each answer. Courses take 24 steps for a turn; their last steps say how
// it ends, which is what the still form shows.
#pragma once

#include "app/drawings/parts.h"

namespace beckhand::drawings {

/// A valve that beats, from shut to open; all of a turn.
inline constexpr std::string_view beating = "099999", beating_fast = "0999", beating_faster = "099", beating_slow = "09999999",
                                  beating_slower = "099999999999", beating_unevenly = "099990909999999909990999",
                                  fluttering = "38";

void add_valve_sketches(std::vector<Sketch>& all);    // table_valve.cpp: waste valve, and trials that show in it
void add_pump_sketches(std::vector<Sketch>& all);     // table_pump.cpp: the rest of the pump
void add_pipe_sketches(std::vector<Sketch>& all);     // table_pipes.cpp: drive pipe, delivery, tank
void add_water_sketches(std::vector<Sketch>& all);    // table_water.cpp: source, header, pit, and what was told

} // namespace beckhand::drawings
