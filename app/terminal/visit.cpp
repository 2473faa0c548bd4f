#include "app/terminal/visit.h"

#include <algorithm>
#include <istream>
#include <ostream>
#include <vector>

#include "app/log/record_text.h"
#include "app/terminal/script.h"
#include "engine/diagnosis/measurement_text.h"
#include "engine/quantity/text.h"

namespace beckhand {
namespace {

const char* const keys_help = "  b back   c cannot tell   h how to look   w why   s so far   note ...   q leave (all is kept)\n";

std::string numbered(int number, const std::string& text) { return "  " + std::to_string(number) + "  " + text + "\n"; }

std::string caution_text(const Pack& pack, const std::vector<std::string>& ids, const std::string& indent) {
    std::string text;
    for (const std::string& id : ids) {
        if (const Caution* caution = find_caution(pack, id)) {
            text += indent + "! " + caution->title + ": " + caution->say +
                    (caution->defer_to.empty() ? "" : " (" + caution->defer_to + ")") + "\n";
        }
    }
    return text;
}

std::string ask_text(const State& state, const Pack& pack) {
    const Observation& observation = pack.observations[*state.scene.observation];
    std::string text = caution_text(pack, observation.cautions, "") + observation.ask + "\n";
    int number = 0;
    for (const Answer& answer : observation.answers) {
        text += answer.cannot ? "  c  " + answer.say + "\n" : numbered(++number, answer.say);
    }
    return text;
}

std::string measure_text(const State& state, const Pack& pack) {
    const Measurement& how = pack.measurements[*state.scene.measurement];
    return caution_text(pack, how.cautions, "") + how.ask + "\n  " + how.how + "\n  Take care: " + how.pitfalls +
           "\n  Type the figure in " + std::string(unit_word(figure_of(how), state.units)) + ", between " +
           format_measured(how, how.least, state.units) + " and " + format_measured(how, how.most, state.units) +
           ", or with its unit. c: cannot measure.\n";
}

std::string finding_text(const State& state, const Pack& pack) {
    const Cause& cause = pack.causes[*state.scene.cause];
    std::string text = "It looks like this: " + cause.name + ", " + state.scene.reasons->how_sure + ".\n" + cause.say +
                       " " + state.scene.reasons->how_common + "\n";
    for (const Reason& reason : state.scene.reasons->for_it) {
        text += "  + " + reason.words + " (" + reason.strength + ")\n";
    }
    for (const Reason& reason : state.scene.reasons->against_it) {
        text += "  - " + reason.words + " (" + reason.strength + ")\n";
    }
    text += state.scene.reasons->second.empty() ? "" : state.scene.reasons->second + "\n";
    return text + "  1  Go to its check\n";
}

std::string check_text(const State& state, const Pack& pack) {
    const Cause& cause = pack.causes[*state.scene.cause];
    return caution_text(pack, cause.check.cautions, "") + "Check: " + cause.check.say + "\n" +
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

std::string fix_text(const State& state, const Pack& pack) {
    const Cause& cause = pack.causes[*state.scene.cause];
    const Attempt& attempt = *state.scene.visit.current_attempt();
    std::string text = "Fix: " + cause.name + "\n" + caution_text(pack, cause.fix.cautions, "") +
                       list_text("Tools: ", cause.fix.tools) + list_text("Parts: ", cause.fix.parts);
    for (std::size_t i = 0; i < cause.fix.steps.size(); ++i) {
        const auto ticked = attempt.steps.find(static_cast<int>(i));
        const bool known = ticked != attempt.steps.end();
        text += caution_text(pack, cause.fix.steps[i].cautions, "     ");
        text += std::string(known ? (ticked->second ? "  [x] " : "  [-] ") : "  [ ] ") + std::to_string(i + 1) + ". " +
                cause.fix.steps[i].say + "\n";
    }
    return text + "  Number: step done.   skip N: left out.   all: all done.   done: go on to the proof.\n";
}

std::string proof_text(const State& state, const Pack& pack) {
    const Cause& cause = pack.causes[*state.scene.cause];
    std::string text;
    for (const ProofFigure& figure : state.scene.proof->figures) {
        const Measurement* how = find_measurement(pack, figure.measurement);
        if (how == nullptr) continue;
        text += "  " + how->name + ":";
        text += figure.before_si ? " before " + format_measured(*how, *figure.before_si, state.units) + "," : "";
        text += figure.least_si ? " wanted from " + format_measured(*how, *figure.least_si, state.units) + " (" +
                                      figure.basis + ")"
                                : " no yardstick";
        text += figure.after_si ? ", now " + format_measured(*how, *figure.after_si, state.units) : "";
        text += "\n";
    }
    if (state.scene.stage == Stage::proof_measure) {
        const std::string wait = cause.proof.wait_minutes > 0
                                     ? "Let it run for " + fixed_text(cause.proof.wait_minutes, 0) + " minutes first.\n"
                                     : "";
        return "Prove it with figures.\n" + text + wait + measure_text(state, pack);
    }
    return "Prove it.\n" + text + cause.proof.see + "\n  1  Yes\n  2  No\n  c  Could not see\n";
}

std::string verdict_text(const State& state, const Pack& pack) {
    const Cause& cause = pack.causes[*state.scene.cause];
    const bool proved = state.scene.proof->verdict == Verdict::proved;
    return state.scene.proof->words + "\n" +
           (proved ? "To keep it so: " + cause.fix.keep + "\nLater: " + cause.proof.later + "\n" : "") + "  1  Go on\n";
}

std::string ended_text(const State& state) {
    if (state.scene.visit.closed) {
        return "The visit is closed and in the log.\n";
    }
    return std::string(ended_proved(state.scene) ? "The fix is proved. The visit is in the log.\n"
                              : "Nothing known fits what was seen. Write a note and call for help.\n") +
           "  1  Close the visit\n  2  Hand it on\n";
}

std::string first_sight_text(const Pack& pack) {
    std::string text = "What do you see first?\n";
    int number = 0;
    for (const FirstSight& sight : pack.first_sights) {
        text += numbered(++number, sight.say);
    }
    return text + numbered(number + 1, "Nothing of these, go on");
}

const Answer* numbered_answer(const Observation& observation, int number) {
    for (const Answer& answer : observation.answers) {
        if (!answer.cannot && --number == 0) return &answer;
    }
    return nullptr;
}

std::optional<Happening> said_to_question(const Observation& observation, int number, bool cannot) {
    if (cannot) {
        for (const Answer& answer : observation.answers) {
            if (answer.cannot) return Answered{observation.id, answer.id, false};
        }
    }
    const Answer* answer = numbered_answer(observation, number);
    return answer != nullptr ? std::optional<Happening>(Answered{observation.id, answer->id, false}) : std::nullopt;
}

Result<Happening> said_figure(const Measurement& how, const std::string& line, Units units) {
    Result<double> value = parse_figure(figure_of(how), line, units, Sign::any);
    if (!value) return value.error();
    if (*value < std::min(how.least, 0.0) || *value > how.most) {
        return Problem{how.name, format_measured(how, *value, units) + " cannot be.",
                       "It lies between " + format_measured(how, how.least, units) + " and " +
                           format_measured(how, how.most, units) + "."};
    }
    return Happening(Measured{how.id, *value, Care::careful});
}

/// What a line means for what is on the screen; nothing when it means nothing here.
Result<std::vector<Happening>> said(const State& state, const Pack& pack, const std::string& line) {
    const Scene& scene = state.scene;
    const bool cannot = line == "c";
    const int number = std::atoi(line.c_str());
    std::optional<Happening> what;
    switch (scene.stage) {
    case Stage::first_sight:
        if (number >= 1 && number <= static_cast<int>(pack.first_sights.size())) {
            const Pointed& means = pack.first_sights[static_cast<std::size_t>(number - 1)].means;
            return std::vector<Happening>{Answered{means.observation, means.answer, true}, Began{}};
        }
        if (number == static_cast<int>(pack.first_sights.size()) + 1) what = Began{};
        break;
    case Stage::stop_first:
        if (line == "done") what = Heeded{pack.cautions[*scene.caution].id};
        break;
    case Stage::ask: what = said_to_question(pack.observations[*scene.observation], number, cannot); break;
    case Stage::measure:
    case Stage::proof_measure: {
        const Measurement& how = pack.measurements[*scene.measurement];
        if (cannot) {
            what = NotMeasured{how.id};
            break;
        }
        Result<Happening> figure = said_figure(how, line, state.units);
        if (!figure) return figure.error();
        what = *figure;
        break;
    }
    default: break;
    }
    if (scene.cause && !what) {
        const Cause& cause = pack.causes[*scene.cause];
        const int steps = static_cast<int>(cause.fix.steps.size());
        if (scene.stage == Stage::finding && number == 1) what = FixChosen{cause.id};
        if (scene.stage == Stage::check && number == 1) what = Checked{cause.id, CheckResult::yes};
        if (scene.stage == Stage::check && number == 2) what = Checked{cause.id, CheckResult::no};
        if (scene.stage == Stage::check && cannot) what = Checked{cause.id, CheckResult::could_not};
        if (scene.stage == Stage::fix && number >= 1 && number <= steps) what = StepTicked{cause.id, number - 1, true};
        if (scene.stage == Stage::fix && line.rfind("skip ", 0) == 0) {
            const int skipped = std::atoi(line.c_str() + 5);
            if (skipped >= 1 && skipped <= steps) what = StepTicked{cause.id, skipped - 1, false};
        }
        if (scene.stage == Stage::fix && line == "done") what = FixFinished{cause.id};
        if (scene.stage == Stage::fix && line == "all") {
            std::vector<Happening> all;
            for (int step = 0; step < steps; ++step) all.emplace_back(StepTicked{cause.id, step, true});
            return all;
        }
        if (scene.stage == Stage::proof_look && number == 1) what = ProofSeen{cause.id, true};
        if (scene.stage == Stage::proof_look && number == 2) what = ProofSeen{cause.id, false};
        if (scene.stage == Stage::proof_look && cannot) what = ProofNotSeen{cause.id};
        if (scene.stage == Stage::verdict && number == 1) what = Judged{cause.id, *scene.proof->verdict};
    }
    if (scene.stage == Stage::ended && number == 1) {
        what = Closed{ended_proved(scene) ? Closing::proved : Closing::called_help};
    }
    if (scene.stage == Stage::ended && number == 2) what = Closed{Closing::handed_on};
    if (!what) return std::vector<Happening>{};
    return std::vector<Happening>{*what};
}

std::string how_text(const State& state, const Pack& pack) {
    if (!state.scene.observation) return "Nothing more to say about this.\n";
    const Observation& observation = pack.observations[*state.scene.observation];
    return observation.look + "\nPeople get this wrong: " + observation.slip + "\n";
}

std::string so_far_text(const State& state, const Pack& pack) {
    std::string text = std::to_string(state.scene.asked) + " asked, " + fixed_text(state.scene.minutes, 0) + " minutes.\n";
    for (std::size_t i = 0; i < 3 && i < state.scene.belief.ranked.size(); ++i) {
        const std::size_t c = state.scene.belief.ranked[i];
        text += "  " + sureness(state.scene.belief.of(c)) + ": " +
                (c < pack.causes.size() ? pack.causes[c].name : std::string("none of the known causes")) + "\n";
    }
    return text;
}

/// What the log has to say of itself, said once.
void say_notice(App& app, std::ostream& out) {
    if (!app.state().notice) return;
    out << "About the log: " << app.state().notice->sentence() << "\n";
    if (!app.state().trouble) app.act(ReadTrouble{});
}

} // namespace

std::string scene_text(const State& state, const Pack& pack) {
    switch (state.scene.stage) {
    case Stage::first_sight: return first_sight_text(pack);
    case Stage::stop_first: {
        const Caution& caution = pack.cautions[*state.scene.caution];
        return "STOP. " + caution.title + ". " + caution.say + " " + caution.defer_to + "\n  Type done when you have.\n";
    }
    case Stage::ask: return ask_text(state, pack);
    case Stage::measure: return measure_text(state, pack);
    case Stage::finding: return finding_text(state, pack);
    case Stage::check: return check_text(state, pack);
    case Stage::fix: return fix_text(state, pack);
    case Stage::proof_measure:
    case Stage::proof_look: return proof_text(state, pack);
    case Stage::verdict: return verdict_text(state, pack);
    case Stage::ended: return ended_text(state);
    }
    return {};
}

int run_terminal(App& app, std::istream& in, std::ostream& out) {
    say_notice(app, out);
    bool show = true;
    std::string line;
    while (true) {
        if (show) {
            out << "\n" << scene_text(app.state(), app.pack());
            if (app.state().scene.stage != Stage::ended) out << keys_help;
        }
        if (app.state().scene.visit.closed) return 0;
        out << "> " << std::flush;
        if (!std::getline(in, line) || line == "q") {
            out << "\nAll that was answered is kept; the visit goes on where it stopped.\n";
            return 0;
        }
        show = false;
        if (line.empty()) continue;
        if (line == "h") out << how_text(app.state(), app.pack());
        else if (line == "w") out << (app.state().scene.why.empty() ? "No question is asked now." : app.state().scene.why) << "\n";
        else if (line == "s") out << so_far_text(app.state(), app.pack());
        else if (line == "?") out << keys_help;
        else if (line == "b") {
            // At the very start `back` leaves the visit's screen, which a terminal does not have.
            const bool any = take_back(app.state().scene.visit).has_value();
            if (any) app.act(Back{});
            out << (any ? "Taken back: " + app.state().undone : "There is nothing to take back.") << "\n";
            show = true;
        } else {
            const bool note = line.rfind("note ", 0) == 0;
            const auto what = note ? Result<std::vector<Happening>>(std::vector<Happening>{Noted{line.substr(5)}})
                                   : said(app.state(), app.pack(), line);
            if (!what) {
                out << what.error().sentence() << "\n";
            } else if (what->empty()) {
                out << "That is not one of the answers here.\n";
            } else {
                for (const Happening& event : *what) app.act(Say{event});
                show = true;
            }
        }
        say_notice(app, out);
        if (app.state().trouble) {
            out << "Not saved. " << app.state().trouble->sentence() << "\n";
            return 1;
        }
    }
}

int play_visit(App& app, const CaseFile& file, std::ostream& out, const std::function<void(const Happening&)>& before) {
    constexpr int most_events = 300; // no visit is this long; a loop would be our own bug
    bool show = true;
    for (int i = 0; i < most_events && !app.state().scene.visit.closed; ++i) {
        // A fix is shown once, not again for each tick.
        if (show) out << "\n" << scene_text(app.state(), app.pack());
        const Happening what = next_or_closing(file, app.pack(), app.state().scene);
        show = !std::holds_alternative<StepTicked>(what);
        out << "> " << words_of(app.pack(), what, app.state().units) << "\n";
        if (before) before(what);
        app.act(Say{what});
        say_notice(app, out);
        if (app.state().trouble) {
            out << "Not saved. " << app.state().trouble->sentence() << "\n";
            return 1;
        }
    }
    out << "\n" << scene_text(app.state(), app.pack());
    return 0;
}

} // namespace beckhand
