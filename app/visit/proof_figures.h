// The figures of a proof: before, wanted, now. Shown while they are taken and with the verdict.
#pragma once

#include "app/state.h"

namespace beckhand {

void proof_figures(const State& state, const Pack& pack, kit::Kit& kit);

} // namespace beckhand
