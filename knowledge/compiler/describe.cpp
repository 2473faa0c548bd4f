// Words for the whole pack and for one thing of it.
#include "knowledge/compiler/describe.h"

#include <algorithm>
#include <cstdio>
#include <set>
#include <vector>

#include "engine/nearest.h"

namespace beckhand {

namespace {

std::string number(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%.4g", value);
    return text;
}

std::string join(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) {
        text += (text.empty() ? "" : ", ") + word;
    }
    return text.empty() ? "none" : text;
}

std::string line(const std::string& name, const std::string& value) {
    return value.empty() ? "" : name + ": " + value + "\n";
}

const char* words_of(Place place) {
    switch (place) {
    case Place::anywhere:
        return "anywhere";
    case Place::pump:
        return "at the pump";
    case Place::intake:
        return "at the intake";
    case Place::drive_line:
        return "along the drive pipe";
    case Place::delivery_line:
        return "along the delivery pipe";
    case Place::tank:
        return "at the tank";
    }
    return "";
}

const char* words_of(PumpState state) {
    switch (state) {
    case PumpState::either:
        return "running or stopped";
    case PumpState::running:
        return "running";
    case PumpState::stopped:
        return "stopped";
    }
    return "";
}

const char* words_of(Mark mark) {
    switch (mark) {
    case Mark::typical:
        return "typical";
    case Mark::likelier:
        return "likelier than usual";
    case Mark::unlikelier:
        return "less likely than usual";
    case Mark::nearly_excluded:
        return "nearly excluded";
    }
    return "";
}

std::string titles_of(const Pack& pack, const std::vector<std::string>& cautions) {
    std::vector<std::string> titles;
    for (const std::string& id : cautions) {
        const Caution* caution = find_caution(pack, id);
        titles.push_back(caution ? caution->title : id);
    }
    return join(titles);
}

std::string sources_of(const Pack& pack, const std::vector<std::string>& sources) {
    std::string text = "Sources:\n";
    for (const std::string& id : sources) {
        for (const Source& source : pack.sources) {
            if (source.id == id) {
                text += "  " + id + ": " + source.text + "\n";
            }
        }
    }
    return text;
}

std::string price(double minutes, PumpState pump, const char* place) {
    const std::string where = place[0] == '\0' ? "" : ", " + std::string(place);
    return number(minutes) + " min" + where + ", pump " + words_of(pump);
}

// "drive.bore_area (cross-section of the drive pipe, m2)"
std::string with_words(const std::string& name) {
    const std::string_view words = parameter_words(name).empty() ? size_words(name) : parameter_words(name);
    return name + " (" + std::string(words) + ")";
}

std::string words_of(const FaultEffect& effect) {
    const std::string much =
        number(effect.amount) + (effect.of.empty() ? "" : " of " + with_words(effect.of));
    switch (effect.moves) {
    case Moves::add:
        return "goes up by " + much;
    case Moves::times:
        return "becomes " + much + " times what it was";
    case Moves::towards:
        return "goes to " + much;
    case Moves::down_to:
        return "goes down to " + much;
    }
    return "";
}

std::string pump_words_of(const Cause& cause) {
    if (cause.in_the_pump.empty()) {
        return "In the virtual pump: nothing changes. " + cause.not_in_the_pump + "\n";
    }
    std::string text = "In the virtual pump, at its worst:\n";
    for (const FaultEffect& effect : cause.in_the_pump) {
        text += "  " + with_words(effect.parameter) + " " + words_of(effect) + "\n";
    }
    return text + "  How bad it is when somebody is called: " + number(cause.severity_least) + " to " +
           number(cause.severity_most) + ", 1 being the worst\n";
}

std::string of_cause(const Pack& pack, const Cause& cause) {
    std::string text = "Cause: " + cause.name + " (" + cause.id + ", part: " + cause.part + ")\n";
    text += cause.say + "\n";
    text += line("Mechanism", cause.mechanism);
    text += line("Looks like", cause.looks_like);
    text += "How common: " + number(cause.per_1000) + " of 1000 call-outs. " + cause.prior_reason + "\n";
    text += "What is seen:\n";
    for (const Seen& seen : cause.seen) {
        const Observation* observation = find_observation(pack, seen.observation);
        const Answer* answer = observation ? find_answer(*observation, seen.answer) : nullptr;
        text += "  " + (observation ? observation->ask : seen.observation) + " " +
                (answer ? answer->say : seen.answer) + ": " + words_of(seen.mark) + "\n";
    }
    text += pump_words_of(cause);
    const Check& check = cause.check;
    text += "Check (" + price(check.minutes, check.pump, words_of(check.place)) + "): " + check.say + "\n";
    text += "  It is this: " + check.yes + "\n  It is not: " + check.no + "\n";
    text += "  Tools: " + join(check.tools) + "\n  Cautions: " + titles_of(pack, check.cautions) + "\n";
    const Fix& fix = cause.fix;
    text += "Fix \"" + fix.id + "\" (" + price(fix.minutes, fix.pump, "") + ")\n";
    text += "  Cautions: " + titles_of(pack, fix.cautions) + "\n";
    text += "  Tools: " + join(fix.tools) + "\n  Parts: " + join(fix.parts) + "\n";
    for (std::size_t i = 0; i < fix.steps.size(); ++i) {
        const Step& step = fix.steps[i];
        text += "  " + std::to_string(i + 1) + ". " + step.say;
        text += (step.cautions.empty() ? "" : " [" + titles_of(pack, step.cautions) + "]") + "\n";
    }
    text += line("To keep it away", fix.keep);
    std::vector<std::string> figures;
    for (const std::string& id : cause.proof.measure) {
        const Measurement* measurement = find_measurement(pack, id);
        figures.push_back(measurement ? measurement->name : id);
    }
    text += "Proof: " + cause.proof.see + " Measure: " + join(figures) + ", after " +
            number(cause.proof.wait_minutes) + " min running. " + cause.proof.later + "\n";
    for (const Pair& pair : pack.look_alikes) {
        if (pair.first == cause.id || pair.second == cause.id) {
            const std::string& other = pair.first == cause.id ? pair.second : pair.first;
            const Cause* other_cause = find_cause(pack, other);
            const Observation* splitter = find_observation(pack, pair.splits_on);
            text += "Easily taken for: " + (other_cause ? other_cause->name : other) +
                    ". To tell them apart: " + (splitter ? splitter->ask : pair.splits_on) + "\n";
        }
    }
    return text + sources_of(pack, cause.sources);
}

std::string of_observation(const Pack& pack, const Observation& observation) {
    std::string text =
        "Observation: " + observation.ask + " (" + observation.id + ", part: " + observation.part + ")\n";
    text += line("How to look", observation.look);
    text += line("What people get wrong", observation.slip);
    text += line("Why it is worth a look", observation.why);
    text += "It takes " + price(observation.minutes, observation.pump, words_of(observation.place)) + "\n";
    text += "Tools: " + join(observation.tools) + "\n";
    text += "Cautions: " + titles_of(pack, observation.cautions) + "\n";
    text += line("Group", observation.group);
    if (observation.bands) {
        const Bands& bands = *observation.bands;
        text += "From figures: " + bands.quantity + " (needs " + join(bands.needs) + ")\n";
        for (std::size_t i = 0; i < bands.bands.size(); ++i) {
            const std::string from = i == 0 ? "" : "from " + number(bands.edges[i - 1]) + " ";
            const std::string to = i < bands.edges.size() ? "up to " + number(bands.edges[i]) + " " : "";
            const Answer* answer = find_answer(observation, bands.bands[i]);
            text += "  " + from + to + "-> " + (answer ? answer->say : bands.bands[i]) + "\n";
        }
    }
    for (const Answer& answer : observation.answers) {
        text +=
            "Answer: " + answer.say + " (" + answer.id + (answer.normal ? ", normal" : "") +
            (answer.cannot ? ", carries no weight" : "") +
            (answer.pump == PumpState::either ? "" : std::string(", the pump is ") + words_of(answer.pump)) +
            ")\n";
        for (const Cause& cause : pack.causes) {
            for (const Seen& seen : cause.seen) {
                if (seen.observation == observation.id && seen.answer == answer.id) {
                    text += "  " + cause.name + ": " + words_of(seen.mark) + "\n";
                }
            }
        }
    }
    return text + sources_of(pack, observation.sources);
}

std::string error_words(double relative, double absolute, const std::string& unit) {
    const std::string share = relative > 0 ? number(100 * relative) + " %" : "";
    const std::string fixed = absolute > 0 ? number(absolute) + " " + unit : "";
    return share.empty() ? fixed : fixed.empty() ? share : share + ", at least " + fixed;
}

std::string of_measurement(const Pack& pack, const Measurement& m) {
    std::string text = "Measurement: " + m.name + " (" + m.id + ", in " + m.unit + ")\n";
    text += m.ask + "\n";
    text += line("How", m.how);
    text += line("What goes wrong", m.pitfalls);
    text += "It takes " + price(m.minutes, m.pump, words_of(m.place)) + "\n";
    text += "Tools: " + join(m.tools) + "\nCautions: " + titles_of(pack, m.cautions) + "\n";
    text += "Error with care: " + error_words(m.careful_relative, m.careful_absolute, m.unit) +
            "; in a hurry: " + error_words(m.sloppy_relative, m.sloppy_absolute, m.unit) + "\n";
    text += "Plausible from " + number(m.least) + " to " + number(m.most) + " " + m.unit + "\n";
    return text + sources_of(pack, m.sources);
}

std::string of_caution(const Pack& pack, const Caution& caution) {
    std::string text = "Caution: " + caution.title + " (" + caution.id + ")\n" + caution.say + "\n";
    text += caution.stop ? "This stops the job before anything else is asked.\n" : "";
    for (const Pointed& on : caution.fires_on) {
        const Observation* observation = find_observation(pack, on.observation);
        const Answer* answer = observation ? find_answer(*observation, on.answer) : nullptr;
        text += "  when: " + (observation ? observation->ask : on.observation) + " " +
                (answer ? answer->say : on.answer) + "\n";
    }
    text += line("Who decides", caution.defer_to);
    return text + sources_of(pack, caution.sources);
}

std::string of_service(const Pack& pack, const Service& service) {
    std::string text = "Routine service: " + service.name + " (" + service.id + ")\n" + service.say + "\n";
    text += service.every_months > 0 ? "Every " + number(service.every_months) + " months.\n" : "";
    text += line("Before", service.before);
    text += "Take: " + join(service.tools) + "\nParts: " + join(service.parts) + "\n";
    for (const std::string& id : service.cautions) {
        const Caution* caution = find_caution(pack, id);
        text += "Mind: " + (caution ? caution->title : id) + "\n";
    }
    return text + sources_of(pack, service.sources);
}

} // namespace

std::string describe(const Pack& pack) {
    std::size_t answers = 0, marks = 0, steps = 0;
    std::set<std::string> fixes;
    for (const Observation& observation : pack.observations) {
        answers += observation.answers.size();
    }
    for (const Cause& cause : pack.causes) {
        marks += cause.seen.size();
        steps += cause.fix.steps.size();
        fixes.insert(cause.fix.id);
    }
    const auto count = [](std::size_t n) { return std::to_string(n); };
    std::string changes = pack.changes.empty() ? "" : "Changes\n";
    for (const Change& change : pack.changes) {
        changes += "  " + change.version + ", " + change.date + ": " + change.what + "\n";
    }
    return "Pack " + pack.version + ", issued " + pack.issued + "\nHash " + pack.hash + "\n" +
           count(pack.causes.size()) + " causes with " + count(marks) + " marks, " + count(fixes.size()) +
           " fixes with " + count(steps) + " steps\n" + count(pack.observations.size()) +
           " observations with " + count(answers) + " answers, " + count(pack.measurements.size()) +
           " measurements\n" + count(pack.cautions.size()) + " cautions, " + count(pack.sources.size()) +
           " sources, " + count(pack.first_sights.size()) + " first sights, " +
           count(pack.look_alikes.size()) + " look-alikes, " + count(pack.chains.size()) + " chains, " +
           count(pack.services.size()) + " services, " + count(pack.impossible.size()) + " impossible pairs\n" + changes;
}

Result<std::string> describe(const Pack& pack, std::string_view id) {
    if (const Cause* cause = find_cause(pack, id)) {
        return of_cause(pack, *cause);
    }
    if (const Observation* observation = find_observation(pack, id)) {
        return of_observation(pack, *observation);
    }
    if (const Measurement* measurement = find_measurement(pack, id)) {
        return of_measurement(pack, *measurement);
    }
    if (const Caution* caution = find_caution(pack, id)) {
        return of_caution(pack, *caution);
    }
    if (const Service* service = find_service(pack, id)) {
        return of_service(pack, *service);
    }
    std::vector<std::string> known;
    for (const Service& service : pack.services) {
        known.push_back(service.id);
    }
    for (const Cause& cause : pack.causes) {
        known.push_back(cause.id);
    }
    for (const Observation& observation : pack.observations) {
        known.push_back(observation.id);
    }
    for (const Measurement& measurement : pack.measurements) {
        known.push_back(measurement.id);
    }
    for (const Caution& caution : pack.cautions) {
        known.push_back(caution.id);
    }
    return Problem{"pack",
                   "There is no cause, observation, measurement, caution or service \"" + std::string(id) + "\".",
                   did_you_mean(id, known)};
}

} // namespace beckhand
