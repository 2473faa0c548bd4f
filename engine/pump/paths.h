// The two copies of the time loop, and which of them this machine can run. The same bits come out of both;
// only tests need to call them by name.
#pragma once

#include <cstddef>
#include <memory>
#include <vector>

#include "engine/pump/pump.h"

namespace beckhand {

/// Whether this program has the copy for vectors of 32 bytes (AVX2) and this machine can run it.
[[nodiscard]] bool wide_vectors_here();

[[nodiscard]] PumpRun simulate_plain(const PumpDesign& design, const RunOptions& options);

/// The first eight of `count` designs, which outlive it, on their way side by side.
struct EightPumps {
    virtual ~EightPumps();
    /// At most so many updates of 64 steps further; false at the end.
    virtual bool go_on(std::size_t updates) = 0;
    /// At the end: what they did, in order.
    virtual void report_to(std::vector<PumpRun>& runs) const = 0;
};
using BeginEight = std::unique_ptr<EightPumps>(const PumpDesign* designs, std::size_t count, const RunOptions& options);
[[nodiscard]] BeginEight begin_eight_plain;
/// Only where wide_vectors_here().
[[nodiscard]] PumpRun simulate_wide(const PumpDesign& design, const RunOptions& options);
[[nodiscard]] BeginEight begin_eight_wide;

/// All of them, eight after eight, by this copy.
[[nodiscard]] std::vector<PumpRun> simulate_many_by(BeginEight* begin, const std::vector<PumpDesign>& designs,
                                                    const RunOptions& options);

/// Bytes that the state of a run takes: one pump's; eight pumps' together. All of it besides the figures
/// handed back.
[[nodiscard]] std::size_t run_state_bytes();
[[nodiscard]] std::size_t ensemble_state_bytes();

} // namespace beckhand
