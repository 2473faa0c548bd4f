// Lints of what a cause moves in the virtual pump: names, amounts, and that every cause says something.
#include <set>

#include "knowledge/compiler/lint.h"

namespace beckhand {

void lint_pump(const Written& written, Findings& findings) {
    for (const Cause& cause : written.pack.causes) {
        const std::string path = "cause." + cause.id;
        if (cause.in_the_pump.empty() && cause.not_in_the_pump.empty()) {
            findings.error(path, "Nothing says what it does to the pump.",
                           "Add in_the_pump, or say in not_in_the_pump why the pump itself is sound.");
        }
        if (!cause.in_the_pump.empty() && !cause.not_in_the_pump.empty()) {
            findings.error(path, "It has both in_the_pump and not_in_the_pump.", "Leave one of them out.");
        }
        if (!(cause.severity_least >= 0 && cause.severity_least <= cause.severity_most &&
              cause.severity_most <= 1)) {
            findings.error(path, "Its severity does not go up within 0 and 1.",
                           "Write severity = [0.2, 0.9], least first.");
        }
        std::set<std::string> moved;
        for (std::size_t i = 0; i < cause.in_the_pump.size(); ++i) {
            const FaultEffect& effect = cause.in_the_pump[i];
            const std::string here = path + ".in_the_pump." + std::to_string(i);
            if (const std::optional<Problem> problem = unusable(effect)) {
                findings.error(here, problem->what, problem->todo);
            }
            if (!moved.insert(effect.parameter).second) {
                findings.error(here, "It moves \"" + effect.parameter + "\" twice.",
                               "Move it once, as far as it goes.");
            }
        }
    }
}

} // namespace beckhand
