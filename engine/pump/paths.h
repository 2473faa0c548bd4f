// The two copies of the time loop, and which of them this machine can run. The same bits come out of both;
// only tests need to call them by name.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/pump/pump.h"

namespace beckhand {

/// Whether this program has the copy for vectors of 32 bytes (AVX2) and this machine can run it.
[[nodiscard]] bool wide_vectors_here();

[[nodiscard]] PumpRun simulate_plain(const PumpDesign& design, const RunOptions& options);
[[nodiscard]] std::vector<PumpRun> simulate_many_plain(const std::vector<PumpDesign>& designs,
                                                       const RunOptions& options);
/// Only where wide_vectors_here().
[[nodiscard]] PumpRun simulate_wide(const PumpDesign& design, const RunOptions& options);
[[nodiscard]] std::vector<PumpRun> simulate_many_wide(const std::vector<PumpDesign>& designs,
                                                      const RunOptions& options);

/// Bytes that the state of a run takes: one pump's; eight pumps' together. All of it besides the figures
/// handed back.
[[nodiscard]] std::size_t run_state_bytes();
[[nodiscard]] std::size_t ensemble_state_bytes();

} // namespace beckhand
