// The copy of the time loop that every machine can run.
#include "engine/pump/loop.h"
#include "engine/pump/paths.h"

namespace beckhand {

PumpRun simulate_plain(const PumpDesign& design, const RunOptions& options) {
    return run_one(design, options);
}

std::unique_ptr<EightPumps> begin_eight_plain(const PumpDesign* designs, std::size_t count, const RunOptions& options) {
    return std::make_unique<Eight>(designs, count, options);
}

std::size_t run_state_bytes() {
    return sizeof(Rig<double>);
}

std::size_t ensemble_state_bytes() {
    return sizeof(Rig<Lanes8>);
}

} // namespace beckhand
