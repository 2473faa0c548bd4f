// The one next check, and what each of its results would mean. What an answer would point to is worked out by
// giving it to the visit and looking, not written by hand.
#include "app/handover/brief.h"

#include <algorithm>

#include "engine/diagnosis/derived.h"

namespace beckhand {
namespace {

constexpr const char* cannot = "Cannot tell, or cannot be done";
constexpr const char* say_cannot = "Nothing is lost: say so in the program, and it asks another way.";
constexpr const char* program_goes_on = "Tell the program; it goes on from there.";

/// The visit as it would be after one more event.
Visit visit_with(const BriefSource& source, const Happening& what) {
    std::vector<Event> events = source.open_events;
    events.push_back({source.open->visit.next_number, source.now, source.by, what});
    return fold(events);
}

/// What would be likeliest then, and how likely.
std::string pointing(const Pack& pack, const Model& model, const BriefSource& source, const Happening& what) {
    const Visit visit = visit_with(source, what);
    const Belief belief = belief_after(pack, model, visit);
    const std::size_t first = belief.first();
    const std::string name = first < pack.causes.size() ? pack.causes[first].name : "something that is not in the pack";
    return "Then likeliest: " + name + ", " + sureness(belief.of(first)) + ".";
}

/// The stop rule that this answer calls for, if any.
const Caution* stop_of(const Pack& pack, const Observation& asked, const Answer& answer) {
    for (const Caution& caution : pack.cautions) {
        for (const Pointed& on : caution.fires_on) {
            if (on.observation == asked.id && on.answer == answer.id) return &caution;
        }
    }
    return nullptr;
}

NextCheck of_question(const Pack& pack, const Model& model, const BriefSource& source) {
    const Observation& asked = pack.observations[source.open->observation.value()];
    NextCheck next;
    next.what = asked.ask;
    next.how = asked.look;
    next.why = asked.why;
    next.tools = asked.tools;
    next.cautions = asked.cautions;
    for (const Answer& answer : asked.answers) {
        if (answer.cannot) continue;
        if (const Caution* const stop = stop_of(pack, asked, answer)) {
            next.results.push_back({answer.say, "STOP. " + stop->title + ".", true});
        } else {
            next.results.push_back({answer.say, pointing(pack, model, source, Answered{asked.id, answer.id})});
        }
    }
    next.results.push_back({cannot, say_cannot});
    return next;
}

/// Which of the two is so can only be seen; the later answer is the one to look at.
NextCheck of_clash(const Pack& pack, const Model& model, const BriefSource& source) {
    BriefSource again = source;
    const Scene scene = looking_again(pack, *source.open, source.open->clash->later);
    again.open = scene;
    NextCheck next = of_question(pack, model, again);
    const SaidWords earlier = words_of(pack, source.open->clash->earlier);
    next.why = "It does not go with another answer (" + earlier.question + " " + earlier.answer + "). " + scene.why;
    return next;
}

void set_figure(const Pack& pack, const std::string& id, const BriefSource& source, NextCheck& next) {
    const Measurement* const how = find_measurement(pack, id);
    if (how == nullptr) return;
    next.what = how->ask;
    next.how = how->how + " Take care: " + how->pitfalls;
    next.tools = how->tools;
    next.cautions = how->cautions;
    const auto wanted = wanted_figure(id, source.open ? source.open->expected : source.expected);
    if (!wanted) return;
    const Figure kind = figure_of(*how);
    const int figures = figures_of_band(wanted->least, wanted->most);
    const std::string band = band_text(kind, wanted->least, wanted->most, source.units);
    next.right = how->name + " " + band + " (" + wanted->basis + ").";
    next.results.push_back({band, "As at a sound pump."});
    next.results.push_back({"Below " + format_figure(kind, wanted->least, source.units, figures), "Less than it should be."});
    if (id != "Q") {
        next.results.push_back({"Above " + format_figure(kind, wanted->most, source.units, figures), "More than it should be."});
    }
}

NextCheck of_figure(const Pack& pack, const Model& model, const BriefSource& source) {
    NextCheck next;
    const Measurement& how = pack.measurements[source.open->measurement.value()];
    set_figure(pack, how.id, source, next);
    next.why = source.open->why;
    // What each side of the band points to, by a figure well beyond it.
    if (const auto wanted = wanted_figure(how.id, source.open->expected)) {
        const double tried[] = {wanted->likely, 0.7 * wanted->least, 1.3 * wanted->most};
        for (std::size_t i = 0; i < next.results.size() && i < 3; ++i) {
            next.results[i].means += " " + pointing(pack, model, source, Measured{how.id, tried[i]});
        }
    } else {
        next.results.push_back({"Any figure", program_goes_on});
    }
    next.results.push_back({cannot, say_cannot});
    return next;
}

/// The figures and the look that prove a repair of this cause.
std::string right_words(const Pack& pack, const Cause& cause, const BriefSource& source) {
    std::string words = cause.proof.see;
    for (const std::string& id : cause.proof.measure) {
        NextCheck figure;
        set_figure(pack, id, source, figure);
        if (!figure.right.empty()) words += " " + figure.right;
    }
    return words;
}

NextCheck of_check(const Pack& pack, const Model& model, const BriefSource& source) {
    const Cause& cause = pack.causes[source.open->cause.value()];
    NextCheck next;
    next.what = cause.check.say;
    next.how = "It is the check of: " + cause.name + ". " + cause.say;
    next.tools = cause.check.tools;
    next.cautions = cause.check.cautions;
    if (source.open->reasons) next.why = "Believed " + source.open->reasons->how_sure + ".";
    next.results.push_back({"Yes: " + cause.check.yes, "It is this. The program leads through its repair, about " +
                                                           minutes_text(cause.fix.minutes) + "."});
    std::vector<Event> chosen = source.open_events;
    chosen.push_back({source.open->visit.next_number, source.now, source.by, FixChosen{cause.id}});
    chosen.push_back({source.open->visit.next_number + 1, source.now, source.by, Checked{cause.id, CheckResult::no}});
    const Visit without = fold(chosen);
    const Belief belief = belief_after(pack, model, without);
    const std::size_t first = belief.first();
    next.results.push_back({"No: " + cause.check.no,
                            "It is not this. Then likeliest: " +
                                (first < pack.causes.size() ? pack.causes[first].name : "something that is not in the pack") +
                                ", " + sureness(belief.of(first)) + "."});
    next.results.push_back({cannot, "Then nothing is sure. Do not repair on a guess: say so in the program, or call."});
    next.right = right_words(pack, cause, source);
    return next;
}

NextCheck of_repair(const Pack& pack, const BriefSource& source) {
    const Cause& cause = pack.causes[source.open->cause.value()];
    const Attempt* const attempt = source.open->visit.current_attempt();
    NextCheck next;
    for (std::size_t i = 0; i < cause.fix.steps.size() && next.what.empty(); ++i) {
        const bool ticked = attempt != nullptr && attempt->steps.count(static_cast<int>(i)) > 0;
        if (ticked) continue;
        next.what = cause.fix.steps[i].say;
        next.cautions = cause.fix.steps[i].cautions;
        next.how = "Step " + std::to_string(i + 1) + " of " + std::to_string(cause.fix.steps.size()) + " of the repair: " +
                   cause.name + ".";
    }
    if (next.what.empty()) {
        next.what = "Every step of the repair is gone through. Go on to its proof.";
        next.how = cause.name + ".";
    }
    next.tools = cause.fix.tools;
    next.tools.insert(next.tools.end(), cause.fix.parts.begin(), cause.fix.parts.end());
    next.cautions.insert(next.cautions.end(), cause.fix.cautions.begin(), cause.fix.cautions.end());
    next.results = {{"Done", "Tick it in the program, which shows the next step; after the last one comes the proof."},
                    {"It goes otherwise than the step says", "Stop there. Leave it safe and shut, and call."},
                    {cannot, "Skip it in the program and say why in the record. A skipped step is no repair."}};
    next.right = right_words(pack, cause, source);
    return next;
}

NextCheck of_proof(const Pack& pack, const BriefSource& source) {
    const Cause& cause = pack.causes[source.open->cause.value()];
    NextCheck next;
    if (source.open->stage == Stage::proof_measure) {
        set_figure(pack, pack.measurements[source.open->measurement.value()].id, source, next);
    } else {
        next.what = cause.proof.see;
    }
    next.why = "It proves the repair of: " + cause.name + ".";
    next.results = {{"Yes, as it should be", "The repair is proved once all its figures are in."},
                    {"No", "The repair is not proved. The program asks on; leave it as it is and call if it stops."},
                    {cannot, "The repair counts as not proved. Say so, and come back with what is missing."}};
    next.right = right_words(pack, cause, source);
    return next;
}

NextCheck of_stop(const Pack& pack, const BriefSource& source) {
    const Caution& caution = pack.cautions[source.open->caution.value()];
    NextCheck next;
    next.what = caution.title + ". " + caution.say;
    next.how = "Before anything else at this site.";
    next.why = "What was told of the place calls for it.";
    next.cautions = {caution.id};
    next.results = {{"Done, and it is safe there now", "Say so in the program; it goes on."},
                    {"It is not safe there", "Keep away. Nothing more is done at that place.", true},
                    {cannot, "Leave, and call.", true}};
    return next;
}

/// Nothing is open: look, listen, count. The figures are those of the site.
NextCheck routine_look(const Pack& pack, const BriefSource& source) {
    NextCheck next;
    set_figure(pack, source.expected.beat ? "B" : "Q", source, next);
    if (next.what.empty()) next.what = "Look, listen and write down: does it beat, and does water arrive at the tank?";
    next.why = "The routine look. A figure beside the last one shows wear before anybody notices it.";
    for (BriefMeaning& meaning : next.results) {
        const bool sound = &meaning == &next.results.front();
        meaning.means = sound ? "It is well. Write the figure down in the program."
                              : meaning.means + " Open a visit in the program and follow its questions.";
    }
    if (next.results.empty()) {
        next.results = {{"It beats, and water arrives", "It is well. Write it down."},
                        {"It stands still, or little arrives", "Open a visit in the program and follow its questions."}};
    }
    next.results.push_back({cannot, "Leave everything as it is. Write down what you saw, and call."});
    return next;
}

} // namespace

NextCheck next_check(const Pack& pack, const Model& model, const BriefSource& source) {
    if (!source.open) return routine_look(pack, source);
    switch (source.open->stage) {
        case Stage::stop_first: return of_stop(pack, source);
        case Stage::clash: return of_clash(pack, model, source);
        case Stage::ask: return of_question(pack, model, source);
        case Stage::measure: return of_figure(pack, model, source);
        case Stage::finding:
        case Stage::check:
        case Stage::unchecked: return of_check(pack, model, source);
        case Stage::fix: return of_repair(pack, source);
        case Stage::proof_measure:
        case Stage::proof_look: return of_proof(pack, source);
        case Stage::verdict: {
            NextCheck next;
            next.what = "Read the verdict in the program, and go on from it.";
            next.why = source.open->proof ? source.open->proof->words : "";
            next.results = {{"Proved", "Put things away as they were, and look again later."},
                            {"Not proved", "The program asks on. Call if it has nothing left to ask."},
                            {cannot, "Leave everything as it is, and call."}};
            return next;
        }
        case Stage::first_sight:
        case Stage::ended: break;
    }
    NextCheck next = routine_look(pack, source);
    if (source.open->stage == Stage::ended) next.why = end_words(*source.open).words;
    return next;
}

} // namespace beckhand
