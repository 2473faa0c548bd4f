// The copy of the time loop that every machine can run.
#include "engine/pump/loop.h"
#include "engine/pump/paths.h"

namespace beckhand {

PumpRun simulate_plain(const PumpDesign& design, const RunOptions& options) {
    return run_one(design, options);
}

std::vector<PumpRun> simulate_many_plain(const std::vector<PumpDesign>& designs, const RunOptions& options) {
    return run_many(designs, options);
}

std::size_t run_state_bytes() {
    return sizeof(Rig<double>);
}

std::size_t ensemble_state_bytes() {
    return sizeof(Rig<Lanes8>);
}

} // namespace beckhand
