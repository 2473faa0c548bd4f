// The shipped pack as numbers, built once.
#pragma once

#include "engine/diagnosis/model.h"
#include "tests/support/shipped_pack.h"

namespace beckhand::tests {

inline const Model& shipped_model() {
    static const Model model(shipped_pack());
    return model;
}

} // namespace beckhand::tests
