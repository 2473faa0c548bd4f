#include "app/terminal/visit_text.h"

#include "app/figures.h"
#include "app/log/record_text.h"
#include "engine/diagnosis/steps.h"

namespace beckhand {
namespace {

std::string numbered(int number, std::string_view text) {
    return "  " + std::to_string(number) + "  " + std::string(text) + "\n";
}

std::string full_text(const Caution& caution) {
    return "! " + caution.title + ": " + caution.say +
           (caution.defer_to.empty() ? "" : " (" + caution.defer_to + ")") + "\n";
}

std::string caution_text(const Pack& pack, const std::vector<std::string>& ids, const std::string& indent,
                         ToldCautions& told) {
    std::string text;
    for (const std::string& id : ids) {
        if (const Caution* caution = find_caution(pack, id)) {
            text += indent + (told.insert(id).second ? full_text(*caution) : "! " + caution->title + "\n");
        }
    }
    return text;
}

/// What does not fit at all, above everything else.
std::string doubt_text(const Scene& scene) {
    return scene.doubts.does_not_fit.empty() ? "" : "? " + scene.doubts.does_not_fit + "\n";
}

std::string rests_text(const Doubts& doubts) {
    return (doubts.would_change.empty() ? "" : "What would change this: " + doubts.would_change + "\n") +
           (doubts.rests_on.empty() ? "" : "It rests on: " + doubts.rests_on + ".\n");
}

/// The question; to who never saw a pump also how to look, unasked.
std::string ask_text(const State& state, const Pack& pack, ToldCautions& told) {
    const Observation& observation = pack.observations[*state.scene.observation];
    const bool newcomer = state.scene.visit.person == Person::newcomer;
    std::string text = doubt_text(state.scene) + caution_text(pack, observation.cautions, "", told) + observation.ask +
                       "\n" + (newcomer ? "  " + observation.look + "\n" : "") +
                       (state.scene.before.empty() ? "" : "  " + state.scene.before + "\n");
    int number = 0;
    for (const Answer& answer : observation.answers) {
        text += answer.cannot ? "  c  " + answer.say + "\n" : numbered(++number, answer.say);
    }
    return text;
}

std::string figure_text(const State& state, const Pack& pack, ToldCautions& told) {
    const Measurement& how = pack.measurements[*state.scene.measurement];
    return caution_text(pack, how.cautions, "", told) + how.ask + "\n  " + how.how + "\n  Take care: " + how.pitfalls +
           "\n  Type the figure in " + std::string(unit_word(figure_of(how), state.units)) + ", between " +
           format_measured(how, how.least, state.units) + " and " + format_measured(how, how.most, state.units) +
           ", or with its unit. c: cannot measure.\n";
}

std::string clash_text(const State& state, const Pack& pack) {
    const Clash& clash = *state.scene.clash;
    const SaidWords first = words_of(pack, clash.earlier), second = words_of(pack, clash.later);
    return "These two cannot both be true:\n  " + first.question + "  " + first.answer + ".\n  " + second.question +
           "  " + second.answer + ".\n" + pack.impossible[clash.row].why + "\n" +
           numbered(1, "Look at the first again") + numbered(2, "Look at the second again") +
           numbered(3, "Both are what I see");
}

std::string measure_text(const State& state, const Pack& pack, ToldCautions& told) {
    std::string text = doubt_text(state.scene) + figure_text(state, pack, told);
    if (!state.scene.observation) return text;
    const Observation& observation = pack.observations[*state.scene.observation];
    text += "  No way to measure it? Say it roughly: " + observation.ask + "\n";
    int number = 0;
    for (const Answer& answer : observation.answers) {
        if (!answer.cannot) text += "  r" + std::to_string(++number) + "  " + answer.say + "\n";
    }
    return text;
}

std::string finding_text(const State& state, const Pack& pack) {
    const Cause& cause = pack.causes[*state.scene.cause];
    const Reasons& reasons = *state.scene.reasons;
    const Scene& scene = state.scene;
    std::string text = doubt_text(scene) + "It looks like this: " + cause.name + ".\n" +
                       standing_of(pack, scene.visit, scene.offer, *scene.cause, reasons) + ".\n" + cause.say + " " +
                       reasons.how_common + "\n";
    for (const Reason& reason : reasons.for_it) {
        text += "  + " + reason.words + " (" + reason.strength + ")\n";
    }
    for (const Reason& reason : reasons.against_it) {
        text += "  - " + reason.words + " (" + reason.strength + ")\n";
    }
    text += (reasons.second.empty() ? "" : reasons.second + "\n") + rests_text(scene.doubts);
    const bool repaired = scene.visit.unproved(cause.id) != nullptr;
    return text + numbered(1, repaired ? "Measure now" : "Go to its check") + numbered(2, "Not this one, ask on") +
           numbered(3, "Cannot do this now") + (repaired ? numbered(4, "Check and repair it again") : "");
}

std::string unchecked_text(const State& state, const Pack& pack) {
    return "The check could not be made, so nothing is sure: " + pack.causes[*state.scene.cause].name + ".\n" +
           numbered(1, "Repair it all the same") + numbered(2, "Go on without it");
}

std::string check_text(const State& state, const Pack& pack, ToldCautions& told) {
    const Cause& cause = pack.causes[*state.scene.cause];
    return caution_text(pack, cause.check.cautions, "", told) + "Check: " + cause.check.say + "\n" +
           numbered(1, cause.check.yes + " (it is this)") + numbered(2, cause.check.no + " (it is not this)") +
           "  c  Could not check\n";
}

std::string list_text(const std::string& head, const std::vector<std::string>& things) {
    std::string text;
    for (const std::string& thing : things) {
        text += text.empty() ? head + thing : ", " + thing;
    }
    return text.empty() ? text : text + ".\n";
}

/// The parts to take, each with the number it is said to be used by.
std::string parts_text(const Cause& cause) {
    std::string text;
    for (std::size_t i = 0; i < cause.fix.parts.size(); ++i) {
        text += (i == 0 ? "Parts: " : ", ") + std::to_string(i + 1) + " " + cause.fix.parts[i];
    }
    return text.empty() ? text : text + ". Used one up: part and its number.\n";
}

/// One step under its own cautions. `mark`: "[x]" done, "[-]" left out, "[ ]" neither yet.
std::string step_text(const Pack& pack, const Fix& fix, std::size_t index, const char* mark, ToldCautions& told) {
    const Step& step = fix.steps[index];
    return caution_text(pack, step.cautions, "     ", told) + "  " + mark + " " + std::to_string(index + 1) + ". " + step.say + "\n";
}

std::string fix_text(const State& state, const Pack& pack, ToldCautions& told) {
    const Cause& cause = pack.causes[*state.scene.cause];
    const Attempt& attempt = *state.scene.visit.current_attempt();
    std::string text = "Fix: " + cause.name + "\n" + caution_text(pack, cause.fix.cautions, "", told) +
                       list_text("Tools: ", cause.fix.tools) + parts_text(cause);
    if (const std::string used = parts_used_words(state.scene.visit); !used.empty()) text += used + "\n";
    for (std::size_t i = 0; i < cause.fix.steps.size(); ++i) {
        const auto ticked = attempt.steps.find(static_cast<int>(i));
        const bool known = ticked != attempt.steps.end();
        text += step_text(pack, cause.fix, i, known ? (ticked->second ? "[x]" : "[-]") : "[ ]", told);
    }
    return text + "  Number: step done.   skip N: left out.   all: all done.   skip rest: the others left out.\n" +
           "  done, once each is ticked or left out: go on to the proof.\n";
}

/// A gate left open, a vessel not let down: in the steps that follow it can hurt.
std::string skipped_guards_text(const Pack& pack, const Fix& fix, const std::vector<int>& skipped, ToldCautions& told) {
    std::string text;
    for (const int index : skipped) {
        const Step& step = fix.steps[static_cast<std::size_t>(index)];
        if (step.cautions.empty()) continue;
        text += "  [-] " + std::to_string(index + 1) + ". " + step.say + "\n     " + skipped_guard_words + "\n" +
                caution_text(pack, step.cautions, "     ", told);
    }
    return text;
}

/// The first step that is neither done nor left out, and how many more there are.
std::string next_of_fix_text(const State& state, const Pack& pack, ToldCautions& told) {
    const Cause& cause = pack.causes[*state.scene.cause];
    const StepsSoFar steps = steps_so_far(cause, *state.scene.visit.current_attempt());
    if (steps.open.empty()) return "No step is left.   done: go on to the proof.   steps: all of them again.\n";
    const std::size_t more = steps.open.size() - 1;
    // In this order: a caution is told in full where it comes first.
    std::string text = skipped_guards_text(pack, cause.fix, steps.skipped, told);
    text += step_text(pack, cause.fix, static_cast<std::size_t>(steps.open.front()), "[ ]", told);
    return text + "  " + (more == 0 ? "The last one." : more == 1 ? "1 more after it." : std::to_string(more) + " more after it.") +
           "   steps: all of them again.\n";
}

/// "wanted 40 to 52 L/min", "wanted from 3 L/min": more delivered water than expected is only good.
std::string wanted_text(const Measurement& how, const ProofFigure& figure, Units units) {
    if (!figure.least_si) return " no yardstick";
    const bool band = figure.most_si && how.id != "Q";
    return " wanted " +
           (band ? range_text(figure_of(how), *figure.least_si, *figure.most_si, units)
                 : "from " + format_measured(how, *figure.least_si, units)) +
           " (" + figure.basis + ")";
}

std::string proof_text(const State& state, const Pack& pack, ToldCautions& told) {
    const Cause& cause = pack.causes[*state.scene.cause];
    std::string text;
    for (const ProofFigure& figure : state.scene.proof->figures) {
        const Measurement* how = find_measurement(pack, figure.measurement);
        if (how == nullptr) continue;
        text += "  " + how->name + ":";
        if (const std::string before = before_words(*how, figure, state.units); !before.empty()) text += " before " + before + ",";
        text += wanted_text(*how, figure, state.units);
        text += figure.after_si ? ", now " + format_measured(*how, *figure.after_si, state.units) : "";
        text += "\n";
    }
    const std::string wait = cause.proof.wait_minutes > 0
                                 ? "Let it run for " + fixed_text(cause.proof.wait_minutes, 0) + " minutes first.\n"
                                 : "";
    if (state.scene.stage == Stage::proof_measure) {
        return "Prove it with figures.\n" + text + wait + figure_text(state, pack, told);
    }
    return "Prove it.\n" + text + wait + cause.proof.see + "\n  1  Yes\n  2  No\n  c  Could not see\n";
}

std::string verdict_text(const State& state, const Pack& pack) {
    const Cause& cause = pack.causes[*state.scene.cause];
    const bool proved = state.scene.proof->verdict == Verdict::proved;
    return state.scene.proof->words + "\n" +
           (proved ? "To keep it so: " + cause.fix.keep + "\nLater: " + cause.proof.later + "\n" : "") + "  1  Go on\n";
}

std::string ended_text(const State& state, const Pack& pack) {
    const Scene& scene = state.scene;
    std::string text;
    for (const std::string& line : scene.done) text += line + "\n";
    for (const std::string& id : scene.open) text += "Still open: " + find_cause(pack, id)->name + ".\n";
    if (scene.visit.closed) {
        return text + "The visit is closed and in the log: " + std::string(words_of(*scene.visit.closed)) + ".\n";
    }
    const EndWords end = end_words(scene);
    return (ended_proved(scene) ? "" : doubt_text(scene)) + text +
           (ended_proved(scene) ? "The fix is proved. The visit is in the log." : end.heading + ". " + end.words) +
           "\nClose the visit as:\n" + closings_text(scene);
}

std::string first_sight_text(const Pack& pack) {
    std::string text = "What do you see or hear first? The numbers of all that fit, spaces between.\n";
    int number = 0;
    for (const FirstSight& sight : pack.first_sights) {
        text += numbered(++number, sight.say);
    }
    return text + numbered(number + 1, "Nothing of these, go on");
}

/// Every caution of the screen once, a fix's own and those of its steps.
std::vector<std::string> cautions_here(const State& state, const Pack& pack) {
    const Scene& scene = state.scene;
    switch (scene.stage) {
    case Stage::ask: return pack.observations[*scene.observation].cautions;
    case Stage::measure:
    case Stage::proof_measure: return pack.measurements[*scene.measurement].cautions;
    case Stage::check: return pack.causes[*scene.cause].check.cautions;
    case Stage::fix: {
        const Fix& fix = pack.causes[*scene.cause].fix;
        std::vector<std::string> ids = fix.cautions;
        for (const Step& step : fix.steps) ids.insert(ids.end(), step.cautions.begin(), step.cautions.end());
        return ids;
    }
    default: return {};
    }
}

} // namespace

std::string scene_text(const State& state, const Pack& pack, ToldCautions& told) {
    switch (state.scene.stage) {
    case Stage::first_sight: return first_sight_text(pack);
    case Stage::stop_first: {
        const Caution& caution = pack.cautions[*state.scene.caution];
        return "STOP. " + caution.title + ". " + caution.say + " " + caution.defer_to +
               "\n  done: I have done this, and keep away from it.   safe: done, and it is safe there now." +
               "\n  q: I am leaving, the visit stays open.   help: I am leaving, help is called.\n";
    }
    case Stage::clash: return clash_text(state, pack);
    case Stage::ask: return ask_text(state, pack, told);
    case Stage::measure: return measure_text(state, pack, told);
    case Stage::finding: return finding_text(state, pack);
    case Stage::check: return check_text(state, pack, told);
    case Stage::unchecked: return unchecked_text(state, pack);
    case Stage::fix: return fix_text(state, pack, told);
    case Stage::proof_measure:
    case Stage::proof_look: return proof_text(state, pack, told);
    case Stage::verdict: return verdict_text(state, pack);
    case Stage::ended: return ended_text(state, pack);
    }
    return {};
}

std::string next_step_text(const State& state, const Pack& pack, ToldCautions& told) {
    const std::string used = parts_used_words(state.scene.visit);
    return next_of_fix_text(state, pack, told) + (used.empty() ? "" : "  " + used + "\n");
}

std::string how_text(const State& state, const Pack& pack) {
    const Scene& scene = state.scene;
    ToldCautions told;
    std::string text;
    for (const std::string& id : cautions_here(state, pack)) {
        if (!told.contains(id)) text += caution_text(pack, {id}, "", told);
    }
    if (scene.measurement) {
        const Measurement& how = pack.measurements[*scene.measurement];
        text += how.how + "\nTake care: " + how.pitfalls + "\n" + list_text("Tools: ", how.tools);
    } else if (scene.stage == Stage::ask) {
        const Observation& observation = pack.observations[*scene.observation];
        text += observation.look + "\nPeople get this wrong: " + observation.slip + "\n" +
                list_text("Tools: ", observation.tools);
    } else if (scene.stage == Stage::check) {
        text += list_text("Tools: ", pack.causes[*scene.cause].check.tools);
    } else if (scene.stage == Stage::finding) {
        text += pack.causes[*scene.cause].mechanism + "\n";
    }
    return text.empty() ? "Nothing more to say about this.\n" : text;
}

std::string so_far_text(const State& state, const Pack& pack) {
    std::string text = std::to_string(state.scene.asked) + " asked, " + fixed_text(state.scene.minutes, 0) + " minutes.\n";
    for (std::size_t i = 0; i < 3 && i < state.scene.belief.ranked.size(); ++i) {
        const std::size_t c = state.scene.belief.ranked[i];
        text += "  " + sureness(state.scene.belief.of(c)) + ": " +
                (c < pack.causes.size() ? pack.causes[c].name : std::string("none of the known causes")) + "\n";
    }
    return text + rests_text(state.scene.doubts);
}

std::vector<Closing> closings_of(const Scene& scene) {
    if (ended_proved(scene)) return {Closing::proved};
    if (scene.stage == Stage::ended) return {Closing::called_help, Closing::handed_on, Closing::left_as_is};
    return {Closing::handed_on, Closing::called_help, Closing::left_as_is};
}

std::string closings_text(const Scene& scene) {
    std::string text;
    int number = 0;
    for (const Closing how : closings_of(scene)) text += numbered(++number, words_of(how));
    return text;
}

} // namespace beckhand
