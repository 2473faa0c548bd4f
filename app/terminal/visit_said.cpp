#include "app/terminal/visit_said.h"

#include <algorithm>
#include <set>
#include <sstream>

#include "app/terminal/visit_text.h"
#include "app/visit/sights.h"
#include "engine/diagnosis/steps.h"

namespace beckhand {
namespace {

constexpr std::size_t most_digits = 6;   // more answers than any list has
constexpr std::size_t longest_quote = 40;

std::string quoted(std::string_view line) {
    const bool whole = line.size() <= longest_quote;
    return "\"" + std::string(line.substr(0, longest_quote)) + (whole ? "\"" : "...\"");
}

Problem not_here(std::string_view line, std::string todo) {
    return Problem{"", quoted(line) + " is not one of the answers here.", std::move(todo)};
}

std::string numbers_text(int most) {
    return most == 1 ? "Type 1." : "Type a whole number from 1 to " + std::to_string(most) + ".";
}

std::vector<Happening> just(Happening what) { return {std::move(what)}; }

const Answer* answer_at(const Observation& observation, int number) {
    for (const Answer& answer : observation.answers) {
        if (!answer.cannot && --number == 0) return &answer;
    }
    return nullptr;
}

int answers_of(const Observation& observation) {
    return static_cast<int>(std::count_if(observation.answers.begin(), observation.answers.end(),
                                          [](const Answer& answer) { return !answer.cannot; }));
}

Result<std::vector<Happening>> said_to_question(const Observation& observation, const std::string& line) {
    for (const Answer& answer : observation.answers) {
        if (line == "c" && answer.cannot) return just(Answered{observation.id, answer.id, false});
    }
    const Result<int> number = chosen_number(line, answers_of(observation));
    if (!number) return number.error();
    return just(Answered{observation.id, answer_at(observation, *number)->id, false});
}

Result<std::vector<Happening>> said_figure(const Scene& scene, const Pack& pack, const std::string& line, Units units) {
    const Measurement& how = pack.measurements[*scene.measurement];
    if (line == "c") return just(NotMeasured{how.id});
    if (scene.stage == Stage::measure && scene.observation && line.starts_with("r")) {
        return said_to_question(pack.observations[*scene.observation], trimmed(line.substr(1)));
    }
    const Result<double> value = parse_figure(figure_of(how), line, units, Sign::any);
    if (!value) return value.error();
    if (*value < std::min(how.least, 0.0) || *value > how.most) {
        return Problem{how.name, format_measured(how, *value, units) + " cannot be.",
                       "It lies between " + format_measured(how, how.least, units) + " and " +
                           format_measured(how, how.most, units) + "."};
    }
    return just(Measured{how.id, *value, Care::careful});
}

/// Every step that is neither done nor skipped, said to be the one or the other.
Result<std::vector<Happening>> all_that_are_open(const Cause& cause, const StepsSoFar& so_far, bool done) {
    if (so_far.open.empty()) return Problem{"", "No step is left.", "Type done to go on to the proof."};
    std::vector<Happening> all;
    for (const int step : so_far.open) all.emplace_back(StepTicked{cause.id, step, done});
    return all;
}

Result<std::vector<Happening>> said_of_fix(const Cause& cause, const Attempt& attempt, const std::string& line) {
    const int steps = static_cast<int>(cause.fix.steps.size());
    const StepsSoFar so_far = steps_so_far(cause, attempt);
    if (line == "done") {
        if (so_far.open.empty()) return just(FixFinished{cause.id});
        return Problem{"", steps_left_words(so_far),
                       "Type the number of each that is done, skip and the number of each that is left out; "
                       "skip rest leaves out all of them."};
    }
    if (line == "all") return all_that_are_open(cause, so_far, true);
    const bool skip = line.starts_with("skip");
    if (skip && trimmed(line.substr(4)) == "rest") return all_that_are_open(cause, so_far, false);
    const Result<int> step = chosen_number(skip ? trimmed(line.substr(4)) : line, steps);
    if (!step) {
        return not_here(line, "Type the number of a step from 1 to " + std::to_string(steps) +
                                  ", skip and a number, skip rest, all, or done.");
    }
    const auto before = attempt.steps.find(*step - 1);
    if (before != attempt.steps.end() && before->second == !skip) {
        return Problem{"", "Step " + std::to_string(*step) + (skip ? " is already skipped." : " is already ticked."), ""};
    }
    return just(StepTicked{cause.id, *step - 1, !skip});
}

/// The first two of them that cannot both be.
std::optional<Problem> not_both(const Pack& pack, const std::set<const FirstSight*>& seen) {
    for (auto later = seen.begin(); later != seen.end(); ++later) {
        const auto first = std::find_if(seen.begin(), later, [&](const FirstSight* s) { return exclude_each_other(pack, *s, **later); });
        if (first == later) continue;
        return Problem{"", "\"" + (*first)->say + "\" and \"" + (*later)->say + "\" cannot both be.", "Leave one of them out."};
    }
    return std::nullopt;
}

/// One number or several, spaces or commas between.
Result<std::vector<Happening>> said_at_first(const Pack& pack, std::string line) {
    const int nothing = static_cast<int>(pack.first_sights.size()) + 1;
    std::replace(line.begin(), line.end(), ',', ' ');
    std::istringstream words(line);
    std::set<const FirstSight*> seen;   // in the pack's order
    bool none = false;
    for (std::string word; words >> word;) {
        const Result<int> number = chosen_number(word, nothing);
        if (!number) return number.error();
        if (*number == nothing) none = true;
        else seen.insert(&pack.first_sights[static_cast<std::size_t>(*number - 1)]);
    }
    if (none != seen.empty()) {
        return not_here(line, "Type what you see, 1 to " + std::to_string(nothing - 1) + ", or " + std::to_string(nothing) + " alone.");
    }
    if (const auto both = not_both(pack, seen)) return *both;
    std::vector<Happening> said;
    for (const FirstSight* const sight : seen) said.emplace_back(Answered{sight->means.observation, sight->means.answer, true});
    said.emplace_back(Began{});
    return said;
}

} // namespace

std::string trimmed(std::string_view text) {
    const char* const space = " \t\r\n\f\v";
    const std::size_t first = text.find_first_not_of(space);
    if (first == std::string_view::npos) return {};
    return std::string(text.substr(first, text.find_last_not_of(space) + 1 - first));
}

std::string small_letters(std::string_view text) {
    std::string small = trimmed(text);
    std::transform(small.begin(), small.end(), small.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return small;
}

Result<int> chosen_number(std::string_view text, int most) {
    const bool digits = !text.empty() && text.size() <= most_digits &&
                        std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
    const int number = digits ? std::stoi(std::string(text)) : 0;
    if (number < 1 || number > most) return not_here(text, numbers_text(most));
    return number;
}

Result<std::vector<Happening>> said(const State& state, const Pack& pack, const std::string& typed) {
    const Scene& scene = state.scene;
    const std::string line = small_letters(typed);
    const std::string cause = scene.cause ? pack.causes[*scene.cause].id : "";
    const auto number_to = [&](int most) { return chosen_number(line, most); };
    switch (scene.stage) {
    case Stage::first_sight: return said_at_first(pack, line);
    case Stage::stop_first:
        if (line == "done") return just(Heeded{pack.cautions[*scene.caution].id});
        if (line == "safe") return just(SafeNow{pack.cautions[*scene.caution].id});
        if (line == "help") return just(Closed{Closing::called_help});
        return not_here(line, "Type done, safe, help, or q to leave.");
    case Stage::clash:
        // Looking again is not said but done: looks_again() below.
        if (const auto number = number_to(3); !number) return number.error();
        return just(keep_both(scene.visit, *scene.clash));
    case Stage::ask: return said_to_question(pack.observations[*scene.observation], line);
    case Stage::measure:
    case Stage::proof_measure: return said_figure(scene, pack, line, state.units);
    case Stage::finding: {
        const bool repaired = scene.visit.unproved(cause) != nullptr;
        const auto number = number_to(repaired ? 4 : 3);
        if (!number) return number.error();
        if (*number == 2) return just(SetAside{cause, Aside::doubted});
        if (*number == 3) return just(SetAside{cause, Aside::not_now});
        return just(repaired && *number == 1 ? Happening(FixFinished{cause}) : Happening(FixChosen{cause}));
    }
    case Stage::unchecked: {
        const auto number = number_to(2);
        if (!number) return number.error();
        return just(*number == 1 ? Happening(FixChosen{cause}) : Happening(SetAside{cause, Aside::not_now}));
    }
    case Stage::check: {
        if (line == "c") return just(Checked{cause, CheckResult::could_not});
        const auto number = number_to(2);
        if (!number) return number.error();
        return just(Checked{cause, *number == 1 ? CheckResult::yes : CheckResult::no});
    }
    case Stage::fix: return said_of_fix(pack.causes[*scene.cause], *scene.visit.current_attempt(), line);
    case Stage::proof_look: {
        if (line == "c") return just(ProofNotSeen{cause});
        const auto number = number_to(2);
        if (!number) return number.error();
        return just(ProofSeen{cause, *number == 1});
    }
    case Stage::verdict:
        if (const auto number = number_to(1); !number) return number.error();
        return just(Judged{cause, *scene.proof->verdict});
    case Stage::ended: {
        const std::vector<Closing> ways = closings_of(scene);
        const auto number = number_to(static_cast<int>(ways.size()));
        if (!number) return number.error();
        return just(Closed{ways[static_cast<std::size_t>(*number - 1)]});
    }
    }
    return not_here(line, "");
}

Result<PartUsed> said_part(const State& state, const Pack& pack, const std::string& text) {
    const bool at_fix = state.scene.stage == Stage::fix && state.scene.cause.has_value();
    const std::vector<std::string> parts = at_fix ? pack.causes[*state.scene.cause].fix.parts : std::vector<std::string>{};
    const std::size_t space = std::min(text.find(' '), text.size());
    const std::string first = text.substr(0, space), rest = trimmed(std::string_view(text).substr(space));
    const bool number = !first.empty() && std::all_of(first.begin(), first.end(), [](char c) { return c >= '0' && c <= '9'; });
    if (text.empty() || (number && rest.empty() && parts.empty())) {
        return Problem{"", "It is not said which part.", "Write it behind the word: part gasket sheet, or part 2 gasket sheet."};
    }
    if (number && rest.empty()) {
        const Result<int> which = chosen_number(first, static_cast<int>(parts.size()));
        if (!which) return which.error();
        return PartUsed{parts[static_cast<std::size_t>(*which - 1)], 1};
    }
    const Result<int> count = number ? chosen_number(first, most_parts_used) : Result<int>(1);
    if (!count) return count.error();
    const std::string name = number ? rest : text;
    const auto same = std::find_if(parts.begin(), parts.end(),
                                   [&](const std::string& part) { return small_letters(part) == small_letters(name); });
    return PartUsed{same == parts.end() ? name : *same, *count};
}

std::optional<LookAgain> looks_again(const State& state, const std::string& line) {
    if (state.scene.stage != Stage::clash) return std::nullopt;
    const Result<int> number = chosen_number(small_letters(line), 2);
    return number ? std::optional(LookAgain{*number == 2}) : std::nullopt;
}

bool ends_untouched_fix(const State& state, const std::string& line) {
    const Attempt* attempt = state.scene.visit.current_attempt();
    return state.scene.stage == Stage::fix && attempt != nullptr && small_letters(line) == "done" && !attempt->steps.empty() &&
           std::none_of(attempt->steps.begin(), attempt->steps.end(), [](const auto& step) { return step.second; });
}

} // namespace beckhand
