#include "engine/diagnosis/proof.h"

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>

#include "engine/diagnosis/derived.h"
#include "engine/diagnosis/measurement_text.h"
#include "engine/diagnosis/present.h"
#include "engine/diagnosis/steps.h"

namespace beckhand {
namespace {

double error_of_figure(const Pack& pack, double value, const std::string& id) {
    const Measurement* how = find_measurement(pack, id);
    return how == nullptr ? 0 : error_of(*how, value);
}

using Word = std::pair<const char*, const char*>;
constexpr Word stood_still[] = {{"beat_now", "stopped_open"}, {"beat_now", "stopped_shut"}};
/// Words that mean a delivered flow of nothing, where nobody caught it in a bucket.
constexpr Word nothing_arrived[] = {{"outlet_flow", "none"}, {"complaint", "none_at_tank"}, {"yield_band", "nil"},
                                    {"near_far_flow", "far_none"}};

bool any_said(const Visit& visit, std::span<const Word> words) {
    return std::any_of(words.begin(), words.end(), [&](const Word& word) {
        const Answered* given = visit.answer_to(word.first);
        return given != nullptr && given->answer == word.second;
    });
}

/// The figure after the last fix before this one: what this fix starts from.
std::optional<double> last_proof(const Visit& visit, const Attempt& attempt, const std::string& id) {
    std::optional<double> value;
    for (const Attempt& earlier : visit.attempts) {
        const auto found = earlier.proof.find(id);
        if (&earlier != &attempt && earlier.verdict && earlier.verdict != Verdict::not_proved && found != earlier.proof.end()) {
            value = found->second.value_si;
        }
    }
    return value;
}

ProofFigure figure_for(const Visit& whole, const Visit& visit, const Attempt& attempt, const Expectation& expected,
                       const std::string& id) {
    ProofFigure figure;
    figure.measurement = id;
    if (const auto wanted = wanted_figure(id, expected)) {
        figure.wanted_si = wanted->likely;
        figure.least_si = wanted->least;
        figure.most_si = wanted->most;
        figure.basis = wanted->basis;
    }
    const auto before = visit.as_found.find(id);
    if (const auto last = last_proof(whole, attempt, id)) {
        figure.before_si = last;
        figure.before_from_fix = true;
    } else if (before != visit.as_found.end()) {
        figure.before_si = before->second.value_si;
    } else if (const bool still = any_said(visit, stood_still); id == "Q" && (still || any_said(visit, nothing_arrived))) {
        figure.before_si = 0;
        figure.before = still ? ProofFigure::Before::stood_still : ProofFigure::Before::told;
    }
    const auto after = attempt.proof.find(id);
    if (after != attempt.proof.end()) {
        figure.after_si = after->second.value_si;
    }
    return figure;
}

/// Figures that can have too much: a beat, a waste flow or a pressure. More delivered water is only good.
bool more_is_better(const std::string& id) { return id == "Q"; }

bool right(const Pack& pack, const ProofFigure& figure, bool enough_delivered) {
    const double error = error_of_figure(pack, *figure.after_si, figure.measurement);
    const double after = *figure.after_si;
    // With enough delivered, little waste is thrift and no fault.
    const bool may_be_less = figure.measurement == "W" && enough_delivered;
    const bool enough = may_be_less || !figure.least_si || after >= *figure.least_si - error;
    const bool not_too_much =
        more_is_better(figure.measurement) || !figure.most_si || after <= *figure.most_si + error;
    return enough && not_too_much;
}

/// More than three times the most a sound pump gives here is a slip of unit or finger, not a delivery.
bool impossible(const ProofFigure& figure) {
    return more_is_better(figure.measurement) && figure.most_si && *figure.after_si > 3 * *figure.most_si;
}

/// Nearer to what it should be than before, by more than both figures' error.
bool improved(const Pack& pack, const ProofFigure& figure) {
    if (!figure.before_si || !figure.after_si) {
        return false;
    }
    const double error = std::hypot(error_of_figure(pack, *figure.before_si, figure.measurement),
                                    error_of_figure(pack, *figure.after_si, figure.measurement));
    if (figure.wanted_si && !more_is_better(figure.measurement)) {
        return std::abs(*figure.after_si - *figure.wanted_si) + 2 * error <
               std::abs(*figure.before_si - *figure.wanted_si);
    }
    return *figure.after_si > *figure.before_si + 2 * error;
}

std::string figure_words(const Pack& pack, const ProofFigure& figure, Units units) {
    const Measurement* how = find_measurement(pack, figure.measurement);
    if (how == nullptr || !figure.after_si) {
        return {};
    }
    std::string words = how->name + " " + format_measured(*how, *figure.after_si, units);
    if (const std::string before = before_words(*how, figure, units); !before.empty()) words += ", before " + before;
    if (figure.least_si && figure.most_si && !more_is_better(figure.measurement)) {
        words += ", wanted " + format_number(figure_of(*how), *figure.least_si, units) + " to " +
                 format_measured(*how, *figure.most_si, units);
    } else if (figure.least_si) {
        words += ", wanted from " + format_measured(*how, *figure.least_si, units);
    }
    return words + ".";
}

struct Judgement {
    Verdict verdict;
    std::string words;
    bool impossible = false;
};

Judgement judge(const Pack& pack, const Attempt& attempt, const std::vector<ProofFigure>& figures, Units units) {
    std::vector<const ProofFigure*> taken;
    for (const ProofFigure& figure : figures) {
        if (figure.after_si) {
            taken.push_back(&figure);
        }
    }
    const bool looks_right = attempt.seen.value_or(false);
    const bool looks_wrong = attempt.seen && !*attempt.seen;
    if (!attempt.repaired()) {
        return {Verdict::not_proved, "Not proved: every step of the repair was skipped, so nothing was mended."};
    }
    if (taken.empty()) {
        if (looks_right && figures.empty()) return {Verdict::proved, "Proved: it looks as it should."};
        if (looks_right) return {Verdict::better, "It looks right, but no figure proves it yet."};
        if (looks_wrong) return {Verdict::not_it, "Not it: it does not look as it should."};
        return {Verdict::not_proved, "Not proved yet: nothing was measured or looked at after the repair."};
    }
    const bool enough_delivered = std::any_of(taken.begin(), taken.end(), [&](const ProofFigure* figure) {
        return figure->measurement == "Q" && figure->least_si && right(pack, *figure, false);
    });
    std::string words;
    bool all_right = true;
    bool any_improved = false;
    bool any_yardstick = false;
    bool any_impossible = false;
    bool all_stood_so = true; // since an earlier fix of this visit, so this one has no part in it
    for (const ProofFigure* figure : taken) {
        const bool gained = improved(pack, *figure);
        any_impossible = any_impossible || impossible(*figure);
        all_stood_so = all_stood_so && figure->before_from_fix && !gained;
        all_right = all_right && right(pack, *figure, enough_delivered);
        any_improved = any_improved || gained;
        any_yardstick = any_yardstick || figure->least_si.has_value();
        words += " " + figure_words(pack, *figure, units);
    }
    if (any_impossible) {
        const char* const again = "Not proved: more water than this pump can lift. Check the unit and measure again.";
        return {Verdict::not_proved, again + words, true};
    }
    // With nothing to hold a figure against, a clear gain and a look that says yes are the proof.
    const bool proved = !all_stood_so && (any_yardstick ? all_right : any_improved && looks_right);
    if (proved && !looks_wrong) return {Verdict::proved, "Proved." + words};
    if (any_improved || looks_right || proved) return {Verdict::better, "Better, not yet right." + words};
    return {Verdict::not_it, "Not it." + words};
}

/// A gain is no word on a repair that was left half way: what is still wrong may be what was left.
std::string unfinished_words(const StepsSoFar& steps) {
    return "Not proved yet: the repair is not finished. " + steps_left_words(steps) + " So far: ";
}

} // namespace

std::string before_words(const Measurement& how, const ProofFigure& figure, Units units) {
    if (!figure.before_si || figure.before == ProofFigure::Before::told) return "";
    const std::string words = format_measured(how, *figure.before_si, units);
    return figure.before == ProofFigure::Before::stood_still ? "taken as " + words + " (the pump stood still)" : words;
}

ProofState prove(const Pack& pack, const Visit& whole, const Attempt& attempt, const Expectation& expected,
                 Units units) {
    ProofState state;
    // What was found before another repair that helped is no yardstick for this one.
    const Visit visit = attempt.again ? whole : present_of(pack, whole);
    const Cause* cause = find_cause(pack, attempt.cause);
    if (cause == nullptr) {
        return state;
    }
    for (std::size_t i = 0; i < cause->proof.measure.size(); ++i) {
        const ProofFigure figure = figure_for(whole, visit, attempt, expected, cause->proof.measure[i]);
        // The deciding figure is always taken; a further one only where there is something to hold it against.
        if (i == 0 || figure.wanted_si || figure.before_si || figure.after_si) {
            state.figures.push_back(figure);
        }
    }
    for (const ProofFigure& figure : state.figures) {
        const bool refused = attempt.not_measured.count(figure.measurement) > 0;
        if (!figure.after_si && !refused && !state.next_measurement) {
            state.next_measurement = figure.measurement;
        }
    }
    state.look_missing = !attempt.seen && !attempt.could_not_see;
    if (!state.next_measurement && !state.look_missing) {
        const Judgement judgement = judge(pack, attempt, state.figures, units);
        state.verdict = judgement.verdict;
        state.impossible = judgement.impossible;
        state.words = judgement.words;
        const StepsSoFar steps = steps_so_far(*cause, attempt);
        if (judgement.verdict == Verdict::better && !attempt.steps.empty() && !steps.open.empty()) {
            state.verdict = Verdict::not_proved;
            state.open_steps = steps.open;
            state.words = unfinished_words(steps) + judgement.words;
        }
    }
    return state;
}

} // namespace beckhand
