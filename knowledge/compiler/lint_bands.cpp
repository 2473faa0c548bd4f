// Lints of the bands that cut a figure into answers: no gap, no overlap, and every answer within reach of a figure.
#include <algorithm>
#include <map>

#include "engine/nearest.h"
#include "knowledge/compiler/lint.h"

namespace beckhand {

namespace {

using Names = std::vector<std::string>;

bool contains(const Names& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

void look_at_answers(const std::string& here, const Bands& bands, const Observation& observation, Findings& findings) {
    Names answers;
    for (const Answer& answer : observation.answers) {
        answers.push_back(answer.id);
    }
    Names met;
    for (const std::string& id : bands.bands) {
        const Answer* found = find_answer(observation, id);
        if (!found) {
            findings.error(here, "There is no answer \"" + id + "\".", did_you_mean(id, answers));
        } else if (found->cannot) {
            findings.error(here, "A figure cannot lead to the answer \"" + id + "\".");
        }
        met.push_back(id);
        if (std::count(met.begin(), met.end(), id) == 2) {
            findings.error(here, "The answer \"" + id + "\" stands for two bands.", "Give each band its own answer.");
        }
    }
    for (const Answer& answer : observation.answers) {
        if (!answer.cannot && !contains(bands.bands, answer.id)) {
            findings.error(here, "No figure leads to the answer \"" + answer.id + "\".",
                           "The bands must cover every answer but the `cannot`.");
        }
    }
}

void look_at(const Observation& observation, const Pack& pack, const LintRules& rules, Findings& findings) {
    const Bands& bands = *observation.bands;
    const std::string here = "observation." + observation.id + ".bands";
    if (!contains(rules.quantities, bands.quantity)) {
        findings.error(here, "There is no quantity \"" + bands.quantity + "\".",
                       did_you_mean(bands.quantity, rules.quantities));
    }
    look_at_answers(here, bands, observation, findings);
    if (bands.bands.size() != bands.edges.size() + 1) {
        findings.error(here,
                       "It has " + std::to_string(bands.edges.size()) + " edges and " +
                           std::to_string(bands.bands.size()) + " answers.",
                       "There is one answer more than edges: below the first, between two, above the last.");
    }
    // Bands share their edges, so that a gap or an overlap is an edge out of order.
    for (std::size_t i = 1; i < bands.edges.size(); ++i) {
        if (!(bands.edges[i - 1] < bands.edges[i])) {
            findings.error(here, "The edges do not rise.", "Write them from small to large.");
        }
    }
    if (bands.needs.empty()) {
        findings.error(here, "No measurement is named that gives the figure.");
    }
    Names measurements;
    for (const Measurement& measurement : pack.measurements) {
        measurements.push_back(measurement.id);
    }
    for (const std::string& id : bands.needs) {
        if (!contains(measurements, id)) {
            findings.error(here, "There is no measurement \"" + id + "\".", did_you_mean(id, measurements));
        }
        if (std::count(bands.needs.begin(), bands.needs.end(), id) > 1) {
            findings.error(here, "The same measurement is named twice in one list.");
        }
    }
}

} // namespace

void lint_bands(const Written& written, const LintRules& rules, Findings& findings) {
    for (const Observation& observation : written.pack.observations) {
        if (observation.bands) {
            look_at(observation, written.pack, rules, findings);
        }
    }
}

} // namespace beckhand
