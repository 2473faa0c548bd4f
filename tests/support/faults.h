// A cause of the shipped pack, put into a virtual pump.
#pragma once

#include <string_view>

#include "engine/pump/faults.h"
#include "tests/support/shipped_pack.h"

namespace beckhand::tests {

inline Outcome put_fault(PumpDesign& design, std::string_view cause, double severity) {
    const Cause* found = find_cause(shipped_pack(), cause);
    if (found == nullptr)
        return Problem{std::string(cause), "This is no cause of the pack.", ""};
    return apply_effects(design, found->in_the_pump, severity);
}

} // namespace beckhand::tests
