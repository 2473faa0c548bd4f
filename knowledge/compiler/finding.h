// What the compiler and the linter say about a pack: an error stops the build, a warning is counted.
#pragma once

#include <string>
#include <vector>

#include "engine/problem.h"

namespace beckhand {

struct Finding {
    enum class Weight { error, warning };
    Weight weight = Weight::error;
    std::string where; // "intake.toml:12", or "cause screen_matted" where no file is known
    std::string what;  // one sentence
    std::string todo;  // what would be right; may be empty

    [[nodiscard]] std::string sentence() const {
        const std::string text = Problem{where, what, todo}.sentence();
        return weight == Weight::error ? text : text + " (warning)";
    }
};

[[nodiscard]] inline bool has_errors(const std::vector<Finding>& findings) {
    for (const Finding& finding : findings) {
        if (finding.weight == Finding::Weight::error) {
            return true;
        }
    }
    return false;
}

} // namespace beckhand
