// What the compiler and the linter say about a pack: an error stops the build, a warning is let stand only by
// name and with a reason (waived.toml), a note is for the reader.
#pragma once

#include <string>
#include <vector>

#include "engine/problem.h"

namespace beckhand {

struct Finding {
    enum class Weight { error, warning, note };
    Weight weight = Weight::error;
    std::string where; // "intake.toml:12", or "cause screen_matted" where no file is known
    std::string what;  // one sentence
    std::string todo;  // what would be right; may be empty
    std::string rule{};  // of a warning: what a waiver calls it, "unmarked_answer"
    std::string about{}; // and what it is about, "observation.pit_drain.no_pit"

    [[nodiscard]] std::string sentence() const {
        const std::string text = Problem{where, what, todo}.sentence();
        if (weight == Weight::warning) return text + " (warning: " + rule + ", " + about + ")";
        return weight == Weight::note ? text + " (note)" : text;
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
