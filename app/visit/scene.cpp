#include "app/visit/scene.h"

#include <algorithm>

#include "engine/diagnosis/present.h"
#include "engine/diagnosis/second_look.h"

namespace beckhand {
namespace {

/// While a fix is under way its own order decides: check, steps, figures, look, verdict.
void set_attempt_stage(const Pack& pack, const Attempt& attempt, Units units, Scene& scene) {
    scene.cause = index_of(pack.causes, find_cause(pack, attempt.cause));
    if (!attempt.finished) {
        const bool undecided =
            attempt.check == CheckResult::could_not && !attempt.unchecked && attempt.steps.empty();
        scene.stage = !attempt.check ? Stage::check : undecided ? Stage::unchecked : Stage::fix;
        return;
    }
    scene.proof = prove(pack, scene.visit, attempt, scene.expected, units);
    if (scene.proof->next_measurement) {
        scene.stage = Stage::proof_measure;
        scene.measurement = index_of(pack.measurements, find_measurement(pack, *scene.proof->next_measurement));
    } else {
        scene.stage = scene.proof->look_missing ? Stage::proof_look : Stage::verdict;
    }
}

/// Before anything else is asked or offered, two answers that exclude each other are told.
bool set_clash_stage(const Pack& pack, Scene& scene) {
    scene.clash = open_clash(pack, scene.visit);
    if (scene.clash) scene.stage = Stage::clash;
    return scene.clash.has_value();
}

void set_offer_stage(const NextStep& step, Scene& scene) {
    if (const auto* ask = std::get_if<Ask>(&step)) {
        scene.stage = Stage::ask;
        scene.observation = ask->observation;
    } else if (const auto* measure = std::get_if<Measure>(&step)) {
        scene.stage = Stage::measure;
        scene.observation = measure->observation;
        scene.measurement = measure->measurement;
    } else if (const auto* fix = std::get_if<TryFix>(&step)) {
        scene.stage = Stage::finding;
        scene.cause = fix->cause;
    } else if (const auto* stop = std::get_if<StopFirst>(&step)) {
        scene.stage = Stage::stop_first;
        scene.caution = stop->caution;
    } else {
        scene.stage = Stage::ended;
    }
}

/// Causes still open at the end: put aside, or repaired and not proved yet.
std::vector<std::string> open_causes(const Pack& pack, const Visit& visit) {
    std::vector<std::string> ids;
    for (const Cause& cause : pack.causes) {
        const bool aside = visit.aside.count(cause.id) > 0 && !tried_in_vain(visit, cause.id);
        if (aside || visit.unproved(cause.id) != nullptr) ids.push_back(cause.id);
    }
    return ids;
}

constexpr const char *not_this = "Checked, and it is not this: ", *not_this_twice = "Checked twice, and it is not this: ";

std::string what_came_of(const Attempt& attempt) {
    if (attempt.check == CheckResult::no) return not_this;
    if (!attempt.verdict) return "";
    switch (*attempt.verdict) {
    case Verdict::proved: return "Put right and proved: ";
    case Verdict::better: return "Repaired, and it got better: ";
    case Verdict::not_it: return "Repaired, and it did not help: ";
    case Verdict::not_proved: return attempt.repaired() ? "Repaired, not proved yet: " : "Not repaired: ";
    }
    return "";
}

} // namespace

std::vector<std::string> done_lines(const Pack& pack, const Visit& visit) {
    std::vector<std::string> lines;
    for (const Attempt& attempt : visit.attempts) {
        const Cause* const cause = find_cause(pack, attempt.cause);
        const std::string came = what_came_of(attempt);
        if (cause == nullptr || came.empty()) continue;
        // A proof taken later speaks for the repair before it.
        const bool proved_later = attempt.verdict == Verdict::not_proved &&
                                  std::any_of(&attempt + 1, visit.attempts.data() + visit.attempts.size(),
                                              [&](const Attempt& later) {
                                                  return later.cause == attempt.cause && later.again && later.verdict;
                                              });
        if (proved_later) continue;
        const std::string line = came + cause->name + ".";
        const auto before = std::find(lines.begin(), lines.end(), line);
        if (before == lines.end()) lines.push_back(line);
        else if (came == not_this) *before = not_this_twice + cause->name + ".";
    }
    return lines;
}

Scene scene_of(const Pack& pack, const Model& model, const Visit& visit, const PumpSays& pump, Units units) {
    Scene scene;
    scene.visit = visit;
    scene.expected = expect(visit.site);
    if (pump.outlook != nullptr) scene.expected = with_pump(scene.expected, visit.site, *pump.outlook);
    const Grounds grounds = grounds_of(pack, model, visit, pump.evidence, units);
    scene.belief = belief_of(model, grounds);
    scene.asked = steps_asked(visit);
    scene.minutes = minutes_spent(pack, visit);
    if (visit.closed) {
        scene.stage = Stage::ended;
        scene.done = done_lines(pack, visit);
        scene.open = open_causes(pack, visit);
        return scene;
    }
    scene.offer = next_step(pack, model, visit, grounds, scene.belief);
    const bool stop = std::holds_alternative<StopFirst>(scene.offer.step);
    const Attempt* attempt = visit.current_attempt();
    if (attempt != nullptr && find_cause(pack, attempt->cause) != nullptr && !stop) {
        set_attempt_stage(pack, *attempt, units, scene);
    } else if (!visit.began && !stop) {
        scene.stage = Stage::first_sight;
    } else if (stop || !set_clash_stage(pack, scene)) {
        set_offer_stage(scene.offer.step, scene);
    }
    if (scene.stage == Stage::ended) {
        scene.done = done_lines(pack, visit);
        scene.open = open_causes(pack, visit);
    }
    if (scene.stage == Stage::ask || scene.stage == Stage::measure) {
        const Observation& asked = pack.observations[*scene.observation];
        const Answered* const before = before_repair(pack, visit, asked);
        const Answer* const answer = before != nullptr ? find_answer(asked, before->answer) : nullptr;
        if (answer != nullptr) scene.before = "Before the repair: " + answer->say + ".";
        const Answered* const said = scene.offer.again ? visit.answer_to(asked.id) : nullptr;
        const Answer* const first = said != nullptr ? find_answer(asked, said->answer) : nullptr;
        if (first != nullptr) {
            scene.before = "You said: " + first->say + ". That fits the other answers least: look once more before help is called. Look " +
                           std::to_string(visit.looked_again.size() + 1) + " of at most " + std::to_string(most_second_looks) + ".";
        }
    }
    const std::size_t leader = scene.cause.value_or(scene.belief.first());
    const std::vector<Belief> without = beliefs_without(model, grounds);
    scene.reasons = reasons_for(pack, model, visit, grounds, scene.belief, without, leader);
    scene.doubts = doubts_about(pack, model, visit, grounds, scene.belief, without, leader);
    scene.why = why_asked(pack, model, visit, scene.offer);
    return scene;
}

Scene looking_again(const Pack& pack, Scene scene, const Said& at) {
    const Observation* const observation = find_observation(pack, at.what.observation);
    if (observation == nullptr) return scene;
    scene.stage = Stage::ask;
    scene.observation = index_of(pack.observations, observation);
    scene.why = scene.clash ? pack.impossible[scene.clash->row].why : "";
    scene.before = "You said: " + words_of(pack, at).answer + ".";
    if (at.from_figures) {
        const Measurement* const figure = find_measurement(pack, observation->bands->needs.front());
        scene.stage = Stage::measure;
        scene.measurement = index_of(pack.measurements, figure);
    }
    return scene;
}

SaidWords words_of(const Pack& pack, const Said& said) {
    const Observation* const observation = find_observation(pack, said.what.observation);
    const Answer* const answer = observation != nullptr ? find_answer(*observation, said.what.answer) : nullptr;
    if (answer == nullptr) return {said.what.observation, said.what.answer};
    return {observation->ask, answer->say + (said.from_figures ? " (by the figures)" : "")};
}

EndWords end_words(const Scene& scene) {
    const std::vector<Attempt>& attempts = scene.visit.attempts;
    const auto* const finish = std::get_if<Finish>(&scene.offer.step);
    const bool unproved = std::any_of(scene.open.begin(), scene.open.end(),
                                      [&](const std::string& id) { return scene.visit.unproved(id) != nullptr; });
    if (unproved) {
        return {"Repaired, not proved yet", "Only figures or a look show whether the repair helped. Take them when "
                                            "you can, or hand it on with the record."};
    }
    if (!scene.open.empty()) {
        return {"Something was put aside", "Take it up when you can, or hand it on with the record."};
    }
    if (std::any_of(attempts.begin(), attempts.end(),
                    [](const Attempt& a) { return a.verdict == Verdict::better; })) {
        return {"Better, but not yet right", "What was repaired helped. What is still wrong was not found. Hand it "
                                             "on with the record, so that nobody does it all again."};
    }
    if (finish != nullptr && finish->reason == EndReason::help_is_nearer) {
        return {"Better call for help now", "What is left to try takes long and is not likely to be it. Hand it on with "
                                            "the record, so that nobody does it all again."};
    }
    if (finish != nullptr && finish->reason == EndReason::nothing_left) {
        return {"Nothing is left to try", "All likely causes were checked. Hand it on with the record, so that "
                                          "nobody does it all again."};
    }
    return {"Nothing in the pack fits well", "What was seen does not fit any cause that the program knows. Hand it "
                                             "to somebody who builds pumps. The record shows all that was seen."};
}

bool ended_proved(const Scene& scene) {
    const auto* finish = std::get_if<Finish>(&scene.offer.step);
    return finish != nullptr && finish->reason == EndReason::proved;
}

std::string headline_of(const Pack& pack, const Scene& scene) {
    const std::vector<Attempt>& attempts = scene.visit.attempts;
    for (auto attempt = attempts.rbegin(); attempt != attempts.rend(); ++attempt) {
        const Cause* cause = find_cause(pack, attempt->cause);
        if (cause != nullptr && attempt->check != CheckResult::no) {
            const bool proved = attempt->verdict == Verdict::proved;
            const bool waits = attempt->verdict == Verdict::not_proved && attempt->repaired();
            return proved ? "Fixed: " + cause->name : waits ? "Not proved yet: " + cause->name : cause->name;
        }
    }
    for (const Answered& given : scene.visit.answers) {
        const Observation* observation = find_observation(pack, given.observation);
        const Answer* answer = observation != nullptr ? find_answer(*observation, given.answer) : nullptr;
        if (answer != nullptr && !answer->cannot) {
            return answer->say;
        }
    }
    if (scene.visit.handover && !scene.visit.began) {
        return "Handed on";
    }
    if (!scene.visit.as_found.empty()) {
        return "Figures taken";
    }
    return scene.visit.closed ? "" : "Nothing told yet";
}

} // namespace beckhand
