#include "app/terminal/script.h"

#include <algorithm>

#include <nlohmann/json.hpp>

#include "engine/diagnosis/measurement_text.h"
#include "engine/records/site_fields.h"

namespace beckhand {
namespace {

constexpr int most_steps = 200; // no visit is this long; a loop would be our own bug

std::string chance_text(double chance) { return fixed_text(100 * chance, 1) + " %"; }

std::string cannot_answer(const Observation& observation) {
    const auto cannot = std::find_if(observation.answers.begin(), observation.answers.end(),
                                     [](const Answer& answer) { return answer.cannot; });
    return cannot == observation.answers.end() ? "cannot_tell" : cannot->id;
}

Happening answer_or_cannot(const CaseFile& file, const Observation& observation) {
    const auto given = file.answers.find(observation.id);
    if (given != file.answers.end() && find_answer(observation, given->second) != nullptr) {
        return Answered{observation.id, given->second, false};
    }
    return Answered{observation.id, cannot_answer(observation), false};
}

Happening figure_or_not(const CaseFile& file, const Pack& pack, const Scene& scene) {
    const Measurement& how = pack.measurements[*scene.measurement];
    const auto found = file.measured.find(how.id);
    if (found != file.measured.end()) {
        return found->second;
    }
    // Without the figure the person may still know the answer it would have settled.
    if (scene.observation && file.answers.count(pack.observations[*scene.observation].id) > 0) {
        return answer_or_cannot(file, pack.observations[*scene.observation]);
    }
    return NotMeasured{how.id};
}

std::optional<Happening> next_of_fix(const CaseFile& file, const Pack& pack, const Scene& scene) {
    const Cause& cause = pack.causes[*scene.cause];
    switch (scene.stage) {
    case Stage::finding:
        // What was not there to be measured the first time is not there now.
        if (scene.visit.unproved(cause.id) != nullptr) return SetAside{cause.id, Aside::not_now};
        return FixChosen{cause.id};
    case Stage::unchecked: return FixChosen{cause.id};
    case Stage::check: {
        if (file.cause.empty()) return Checked{cause.id, CheckResult::could_not};
        return Checked{cause.id, file.cause == cause.id ? CheckResult::yes : CheckResult::no};
    }
    case Stage::fix: {
        const Attempt* attempt = scene.visit.current_attempt();
        for (int step = 0; step < static_cast<int>(cause.fix.steps.size()); ++step) {
            if (attempt->steps.count(step) == 0) return StepTicked{cause.id, step, true};
        }
        return FixFinished{cause.id};
    }
    case Stage::proof_measure: {
        const std::string& id = pack.measurements[*scene.measurement].id;
        const auto found = file.after.find(id);
        return found != file.after.end() ? Happening(found->second) : Happening(NotMeasured{id});
    }
    case Stage::proof_look:
        return file.after_yes ? Happening(ProofSeen{cause.id, *file.after_yes}) : Happening(ProofNotSeen{cause.id});
    case Stage::verdict: return Judged{cause.id, *scene.proof->verdict};
    default: return std::nullopt;
    }
}

PlayedStep step_of(const Happening& what, const Pack& pack, const Scene& scene) {
    PlayedStep step;
    step.why = scene.why;
    if (const auto* answered = std::get_if<Answered>(&what)) {
        const Observation* observation = find_observation(pack, answered->observation);
        step.kind = answered->told ? "told" : "ask";
        step.id = answered->observation;
        step.text = observation != nullptr ? observation->ask : "";
        step.answer = answered->answer;
        step.minutes = observation != nullptr && !answered->told ? observation->minutes : 0;
        step.why = answered->told ? "" : scene.why;
    } else if (const auto* measured = std::get_if<Measured>(&what)) {
        const Measurement* how = find_measurement(pack, measured->measurement);
        step.kind = "measure";
        step.id = measured->measurement;
        step.text = how != nullptr ? how->ask : "";
        step.minutes = how != nullptr ? how->minutes : 0;
        step.answer = how != nullptr ? format_measured(*how, measured->value_si, Units::metric) : "";
    } else if (const auto* refused = std::get_if<NotMeasured>(&what)) {
        const Measurement* how = find_measurement(pack, refused->measurement);
        step.kind = "measure";
        step.id = refused->measurement;
        step.text = how != nullptr ? how->ask : "";
        step.answer = "not measured";
    } else if (const auto* heeded = std::get_if<SafeNow>(&what)) {
        const Caution* caution = find_caution(pack, heeded->caution);
        step.kind = "stop";
        step.id = heeded->caution;
        step.text = caution != nullptr ? caution->say : "";
        step.answer = "done";
        step.why = "";
    } else if (const auto* checked = std::get_if<Checked>(&what)) {
        const Cause* cause = find_cause(pack, checked->cause);
        step.kind = "check";
        step.id = checked->cause;
        step.text = cause != nullptr ? cause->check.say : "";
        step.answer = "not it";
        step.minutes = cause != nullptr ? cause->check.minutes : 0;
    }
    return step;
}

std::string clash_note(const Pack& pack, const Clash& clash) {
    const auto pair = [](const Pointed& what) { return what.observation + " = " + what.answer; };
    return "Not both can be true: " + pair(clash.earlier.what) + " and " + pair(clash.later.what) + ". " +
           pack.impossible[clash.row].why + " Both were kept.";
}

/// What holds now: each verdict on a fix turns to what the file says is found after it.
const CaseFile& holding_now(const CaseFile& file, const Visit& visit) {
    const CaseFile* now = &file;
    for (const Attempt& attempt : visit.attempts) {
        if (attempt.verdict && !now->then.empty()) now = &now->then.front();
    }
    return *now;
}

bool told_already(const Visit& visit, const std::string& observation) {
    return visit.answer_to(observation) != nullptr;
}

/// The cause of the file, or one with the same repair; without a named cause any finding will do.
bool puts_it_right(const CaseFile& file, const Pack& pack, const Scene& scene) {
    const Cause* const cause = find_cause(pack, file.cause);
    return cause == nullptr || pack.causes[*scene.cause].fix.id == cause->fix.id;
}

} // namespace

std::optional<Happening> next_event(const CaseFile& whole, const Pack& pack, const Scene& scene) {
    const CaseFile& file = holding_now(whole, scene.visit);
    switch (scene.stage) {
    case Stage::first_sight:
        for (const std::string& id : file.first_told) {
            const Observation* observation = find_observation(pack, id);
            if (observation == nullptr || told_already(scene.visit, id)) continue;
            Answered told = std::get<Answered>(answer_or_cannot(file, *observation));
            told.told = true;
            return told;
        }
        return Began{};
    case Stage::stop_first: return SafeNow{pack.cautions[*scene.caution].id};
    case Stage::clash: return keep_both(scene.visit, *scene.clash); // the file has no other answer
    case Stage::ask: return answer_or_cannot(file, pack.observations[*scene.observation]);
    case Stage::measure: return figure_or_not(file, pack, scene);
    case Stage::ended: return std::nullopt;
    default: return next_of_fix(file, pack, scene);
    }
}

Happening next_or_closing(const CaseFile& file, const Pack& pack, const Scene& scene) {
    if (const auto what = next_event(file, pack, scene)) return *what;
    return Closed{ended_proved(scene) ? Closing::proved : Closing::called_help};
}

const PumpEvidence* EvidenceBySite::at(const Site& site) {
    const auto [found, is_new] = worked_out_.try_emplace(figures_key(site));
    std::optional<PumpEvidence>& evidence = found->second;
    if (!is_new) return evidence ? &*evidence : nullptr;
    const Result<PumpDesign> sound = design_for(site);
    if (!sound) return nullptr;
    EvidenceJob job(pack_, *sound, drawn_for_a_visit);
    while (step(job)) {}
    return &evidence.emplace(std::move(job.evidence));
}

PlayedCase play_case(const CaseFile& file, const Pack& pack, const Model& model) {
    EvidenceBySite evidence(pack);
    return play_case(file, pack, model, evidence);
}

PlayedCase play_case(const CaseFile& file, const Pack& pack, const Model& model, EvidenceBySite& evidence) {
    PlayedCase played;
    const PumpSays pump{nullptr, file.measured.empty() ? nullptr : evidence.at(file.site)};
    std::vector<Event> events{{1, Instant{}, "case", Opened{"", file.site, pack.version, pack.hash}}};
    for (int i = 0; i < most_steps; ++i) {
        played.scene = scene_of(pack, model, fold(events), pump);
        const bool finding = played.scene.stage == Stage::finding;
        if ((finding && puts_it_right(file, pack, played.scene)) || played.scene.stage == Stage::ended) {
            break;
        }
        played.checks += finding ? 1 : 0;
        const auto what = next_event(file, pack, played.scene);
        if (!what) {
            break;
        }
        if (played.scene.clash) {
            played.notes.push_back(clash_note(pack, *played.scene.clash));
            events.push_back({played.scene.visit.next_number, Instant{}, "case", *what});
            continue;
        }
        PlayedStep step = step_of(*what, pack, played.scene);
        if (!step.kind.empty()) {
            played.steps.push_back(std::move(step));
        }
        events.push_back({played.scene.visit.next_number, Instant{}, "case", *what});
    }
    if (played.scene.stage == Stage::finding) {
        played.cause = played.scene.cause;
    }
    played.asked = played.scene.asked;
    played.minutes = played.scene.minutes;
    return played;
}

bool as_expected(const PlayedCase& played, const CaseFile& file, const Pack& pack) {
    return file.cause.empty() || (played.cause && pack.causes[*played.cause].id == file.cause);
}

std::string compared_text(const PlayedCase& played, const CaseFile& file, const Pack& pack) {
    if (file.cause.empty()) return "";
    if (as_expected(played, file, pack)) return "Expected: " + file.cause + ". Found.\n";
    const Cause* const expected = find_cause(pack, file.cause);
    const Cause* const found = played.cause ? &pack.causes[*played.cause] : nullptr;
    const bool same_fix = expected != nullptr && found != nullptr && expected->fix.id == found->fix.id;
    return "Expected: " + file.cause + ". Found: " + (found != nullptr ? found->id : std::string("nothing")) + "." +
           (same_fix ? " Both are put right by the same fix.\n" : "\n");
}

std::string played_text(const PlayedCase& played, const Pack& pack) {
    std::string text;
    int number = 0;
    for (const PlayedStep& step : played.steps) {
        const bool counted = step.kind == "ask" || step.kind == "measure";
        text += counted ? std::to_string(++number) + ". " : step.kind == "told" ? "Told: " : "Stop: ";
        text += step.text + "  " + step.id + " = " + step.answer + "\n";
        text += step.why.empty() ? "" : "   Why: " + step.why + "\n";
    }
    for (const std::string& note : played.notes) text += "Note: " + note + "\n";
    text += "\nBelief\n";
    for (std::size_t i = 0; i < 5 && i < played.scene.belief.ranked.size(); ++i) {
        const std::size_t c = played.scene.belief.ranked[i];
        const std::string name = c < pack.causes.size() ? pack.causes[c].id + ": " + pack.causes[c].name
                                                        : "none: none of the known causes";
        text += "  " + chance_text(played.scene.belief.of(c)) + "  " + name + "\n";
    }
    if (played.cause) {
        const Cause& cause = pack.causes[*played.cause];
        text += "\nFinding: " + cause.name + " (" + cause.id + ")\n" + cause.say + "\n";
        for (const Reason& reason : played.scene.reasons ? played.scene.reasons->for_it : std::vector<Reason>{}) {
            text += "  " + reason.strength + ": " + reason.words + "\n";
        }
        text += "\nCheck: " + cause.check.say + "\n\nFix\n";
        for (const std::string& id : cause.fix.cautions) {
            const Caution* caution = find_caution(pack, id);
            text += caution != nullptr ? "  Caution - " + caution->title + ": " + caution->say + "\n" : "";
        }
        for (std::size_t i = 0; i < cause.fix.steps.size(); ++i) {
            text += "  " + std::to_string(i + 1) + ". " + cause.fix.steps[i].say + "\n";
        }
        text += "Proof: " + cause.proof.see + "\n";
    } else {
        text += "\nFinding: nothing known fits. Write down what was seen and call for help.\n";
    }
    return text + "\n" + std::to_string(played.asked) + " asked, " + fixed_text(played.minutes, 0) +
           " minutes. Pack " + pack.version + ", " + pack.hash.substr(0, 12) + ".\n";
}

std::string played_json(const PlayedCase& played, const Pack& pack) {
    nlohmann::ordered_json json;
    json["pack"] = {{"version", pack.version}, {"hash", pack.hash}};
    json["questions"] = nlohmann::ordered_json::array();
    for (const PlayedStep& step : played.steps) {
        json["questions"].push_back({{"kind", step.kind}, {"id", step.id}, {"text", step.text},
                                     {"answer", step.answer}, {"why", step.why}, {"minutes", step.minutes}});
    }
    json["notes"] = played.notes;
    json["belief"] = nlohmann::ordered_json::array();
    for (const std::size_t c : played.scene.belief.ranked) {
        const double chance = played.scene.belief.of(c);
        json["belief"].push_back({{"cause", c < pack.causes.size() ? pack.causes[c].id : "something_else"},
                                  {"chance", chance}, {"shown", chance_text(chance)}, {"sureness", sureness(chance)}});
    }
    json["finding"] = nullptr;
    json["reasons"] = nlohmann::ordered_json::array();
    const Reasons reasons = played.scene.reasons.value_or(Reasons{});
    for (const auto* side : {&reasons.for_it, &reasons.against_it}) {
        for (const Reason& one : *side) json["reasons"].push_back({{"strength", one.strength}, {"words", one.words}});
    }
    if (played.cause) {
        const Cause& cause = pack.causes[*played.cause];
        json["finding"] = cause.id;
        nlohmann::ordered_json steps = nlohmann::ordered_json::array();
        for (const Step& step : cause.fix.steps) {
            steps.push_back({{"say", step.say}, {"cautions", step.cautions}});
        }
        json["fix"] = {{"id", cause.fix.id},           {"cautions", cause.fix.cautions}, {"tools", cause.fix.tools},
                       {"parts", cause.fix.parts},     {"check", cause.check.say},       {"steps", steps},
                       {"proof", cause.proof.see},     {"proof_measure", cause.proof.measure},
                       {"minutes", cause.fix.minutes}};
    }
    json["asked"] = played.asked;
    json["minutes"] = played.minutes;
    return json.dump(2) + "\n";
}

} // namespace beckhand
