#include "app/visit/scene.h"

namespace beckhand {
namespace {

/// While a fix is under way its own order decides: check, steps, figures, look, verdict.
void set_attempt_stage(const Pack& pack, const Attempt& attempt, Units units, Scene& scene) {
    scene.cause = index_of(pack.causes, find_cause(pack, attempt.cause));
    if (!attempt.finished) {
        scene.stage = attempt.check ? Stage::fix : Stage::check;
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

} // namespace

Scene scene_of(const Pack& pack, const Model& model, const Visit& visit, const Outlook* outlook,
               Units units) {
    Scene scene;
    scene.visit = visit;
    scene.expected = expect(visit.site);
    if (outlook != nullptr) scene.expected = with_pump(scene.expected, visit.site, *outlook);
    scene.belief = belief_after(pack, model, facts_of(pack, visit), visit.attempts);
    scene.asked = steps_asked(visit);
    scene.minutes = minutes_spent(pack, visit);
    if (visit.closed) {
        scene.stage = Stage::ended;
        return scene;
    }
    scene.offer = next_step(pack, model, visit);
    const bool stop = std::holds_alternative<StopFirst>(scene.offer.step);
    const Attempt* attempt = visit.current_attempt();
    if (attempt != nullptr && find_cause(pack, attempt->cause) != nullptr && !stop) {
        set_attempt_stage(pack, *attempt, units, scene);
    } else if (!visit.began && !stop) {
        scene.stage = Stage::first_sight;
    } else {
        set_offer_stage(scene.offer.step, scene);
    }
    const std::size_t leader = scene.cause.value_or(scene.belief.first());
    scene.reasons = reasons_for(pack, model, visit, leader, units);
    scene.why = why_asked(pack, model, visit, scene.offer);
    return scene;
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
            return proved ? "Fixed: " + cause->name : cause->name;
        }
    }
    for (const Answered& given : scene.visit.answers) {
        const Observation* observation = find_observation(pack, given.observation);
        const Answer* answer = observation != nullptr ? find_answer(*observation, given.answer) : nullptr;
        if (answer != nullptr && !answer->cannot) {
            return answer->say;
        }
    }
    if (!scene.visit.notes.empty()) {
        return scene.visit.notes.front();
    }
    return scene.visit.as_found.empty() ? "Nothing told yet" : "Figures taken";
}

} // namespace beckhand
