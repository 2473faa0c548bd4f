#include "engine/diagnosis/steps.h"

namespace beckhand {
namespace {

/// "2", "2 and 4", "2, 4 and 5", as people count.
std::string numbers_of(const std::vector<int>& steps) {
    std::string words;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        words += i == 0 ? "" : i + 1 == steps.size() ? " and " : ", ";
        words += std::to_string(steps[i] + 1);
    }
    return words;
}

} // namespace

StepsSoFar steps_so_far(const Cause& cause, const Attempt& attempt) {
    StepsSoFar steps;
    for (int i = 0; i < static_cast<int>(cause.fix.steps.size()); ++i) {
        const auto ticked = attempt.steps.find(i);
        (ticked == attempt.steps.end() ? steps.open : ticked->second ? steps.done : steps.skipped).push_back(i);
    }
    return steps;
}

std::string steps_named(const std::vector<int>& steps) {
    return steps.empty() ? "" : (steps.size() == 1 ? "step " : "steps ") + numbers_of(steps);
}

std::string steps_left_words(const StepsSoFar& steps) {
    if (steps.open.empty()) return "";
    return std::to_string(steps.open.size()) + (steps.open.size() == 1 ? " step left: " : " steps left: ") +
           numbers_of(steps.open) + ".";
}

std::string steps_gone_words(const StepsSoFar& steps) {
    if (steps.done.empty() && steps.skipped.empty()) return "";
    const std::size_t all = steps.done.size() + steps.skipped.size() + steps.open.size();
    return std::to_string(steps.done.size()) + " of " + std::to_string(all) + (all == 1 ? " step" : " steps") + " done." +
           (steps.skipped.empty() ? "" : " Skipped: " + steps_named(steps.skipped) + ".") +
           (steps.open.empty() ? "" : " Left open: " + steps_named(steps.open) + ".");
}

} // namespace beckhand
