// The figures of a proof: before, wanted, now. Shown while they are taken and with the verdict.
#pragma once

#include "app/state.h"

namespace beckhand {

/// `with_basis`: also where the wanted figure comes from.
void proof_figures(const State& state, const Pack& pack, bool with_basis, kit::Kit& kit);

} // namespace beckhand
