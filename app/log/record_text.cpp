// Events as sentences.
#include "app/log/record_text.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <variant>

#include "app/figures.h"
#include "engine/diagnosis/present.h"
#include "engine/diagnosis/steps.h"

namespace beckhand {
namespace {

constexpr const char* hurried = " (in a hurry)";
constexpr const char* taken_back = " (taken back)";
constexpr const char* before_the_repair = " (before the repair)";

std::string counted(const std::string& part, int count) {
    return (count == 1 ? "" : std::to_string(count) + " x ") + part;
}

struct Words {
    const Pack& pack;
    Units units;

    std::string cause(const std::string& id) const {
        const Cause* const found = find_cause(pack, id);
        return found ? found->name : id;
    }
    std::string measurement(const std::string& id) const {
        const Measurement* const found = find_measurement(pack, id);
        return found ? found->name : id;
    }

    std::string operator()(const Opened& e) const { return "Visit to " + e.site.name + " opened."; }
    std::string operator()(const Began&) const { return "Asking began."; }
    std::string operator()(const Answered& e) const {
        const Observation* const observation = find_observation(pack, e.observation);
        const Answer* const answer = observation ? find_answer(*observation, e.answer) : nullptr;
        return (observation ? observation->ask : e.observation + ":") + " " + (answer ? answer->say : e.answer) + "." +
               (e.told ? " (told)" : "");
    }
    std::string operator()(const Measured& e) const {
        const Measurement* const found = find_measurement(pack, e.measurement);
        const std::string figure = found ? format_figure(figure_of(*found), e.value_si, units)
                                         : significant_text(e.value_si) + " (SI)";
        const bool coarse = found && e.error_si > 0;
        const std::string give = coarse ? ", give or take " + format_figure(figure_of(*found), 2 * e.error_si, units) : "";
        return measurement(e.measurement) + ": " + figure + give + (e.care == Care::sloppy ? hurried : "") + ".";
    }
    std::string operator()(const NotMeasured& e) const {
        return measurement(e.measurement) + ": could not be measured.";
    }
    std::string operator()(const FixChosen& e) const { return "Turned to: " + cause(e.cause) + "."; }
    std::string operator()(const Checked& e) const {
        const Cause* const found = find_cause(pack, e.cause);
        if (e.result == CheckResult::could_not) return "Check of \"" + cause(e.cause) + "\": could not be done.";
        const bool yes = e.result == CheckResult::yes;
        const std::string seen = found ? (yes ? found->check.yes : found->check.no) : (yes ? "it is" : "it is not");
        return "Check of \"" + cause(e.cause) + "\": " + seen + ".";
    }
    std::string operator()(const StepTicked& e) const {
        const Cause* const found = find_cause(pack, e.cause);
        const bool known = found && e.step >= 0 && static_cast<std::size_t>(e.step) < found->fix.steps.size();
        const std::string step = known ? found->fix.steps[static_cast<std::size_t>(e.step)].say
                                       : "Step " + std::to_string(e.step + 1) + " of " + e.cause + ".";
        return (e.done ? "Done: " : "Skipped: ") + step;
    }
    std::string operator()(const FixFinished& e) const { return "Fix gone through: " + cause(e.cause) + "."; }
    std::string operator()(const ProofSeen& e) const {
        const Cause* const found = find_cause(pack, e.cause);
        return (found ? found->proof.see : cause(e.cause) + ":") + (e.yes ? " Yes." : " No.");
    }
    std::string operator()(const ProofNotSeen& e) const {
        const Cause* const found = find_cause(pack, e.cause);
        return (found ? found->proof.see : cause(e.cause) + ":") + " Could not look.";
    }
    std::string operator()(const Judged& e) const {
        const std::string name = cause(e.cause);
        switch (e.verdict) {
            case Verdict::proved: return "Proved: " + name + ".";
            case Verdict::better: return "Better, not yet right: " + name + ".";
            case Verdict::not_it: return "Not it: " + name + ".";
            case Verdict::not_proved: return "Not proved yet: " + name + ".";
        }
        return name;
    }
    std::string operator()(const Noted& e) const { return "Note: " + e.text; }
    std::string operator()(const Closed& e) const { return "Visit closed. " + std::string(words_of(e.how)) + "."; }
    std::string operator()(const TookBack& e) const { return "Took back event " + std::to_string(e.event) + "."; }
    std::string operator()(const Heeded& e) const {
        const Caution* const found = find_caution(pack, e.caution);
        return "Read and followed: " + (found ? found->title : e.caution) + ".";
    }
    std::string operator()(const SetAside& e) const {
        return (e.why == Aside::doubted ? "Doubted, asked on: " : "Put aside for now: ") + cause(e.cause) + ".";
    }
    std::string operator()(const SafeNow& e) const {
        const Caution* const found = find_caution(pack, e.caution);
        return "Followed, and safe there now: " + (found ? found->title : e.caution) + ".";
    }
    std::string operator()(const Offered& e) const { return "Handed on to " + e.to + ", with a brief."; }
    std::string operator()(const SaidBack& e) const {
        const std::string topic = e.topic == "danger" ? "the first danger" : e.topic == "sound" ? "how it should run"
                                  : e.topic == "next"   ? "the next check"   : e.topic;
        return "Said back, " + topic + ": " + (e.right ? "right." : "not right, shown again.");
    }
    std::string operator()(const Received& e) const { return "Received by " + e.by + "."; }
    std::string operator()(const AnsweringAs& e) const {
        return "From here on answered by " + name_of(e.person) + ".";
    }
    std::string operator()(const Recalled& e) const {
        std::string words = e.past.empty() ? "" : "Repaired here before:";
        for (const PastRepair& past : e.past) {
            words += (&past == &e.past.front() ? " " : ", ") + cause(past.cause) + " (" +
                     std::to_string(std::lround(past.days)) + " days ago)";
        }
        words += e.past.empty() ? "" : ".";
        double proved = 0;
        for (const auto& [id, count] : e.learned) proved += count;
        if (proved > 0) {
            words += (words.empty() ? "" : " ") + std::string("Proved repairs counted in this log: ") +
                     std::to_string(std::lround(proved)) + ".";
        }
        return words.empty() ? "Nothing was known of repairs here." : words;
    }
    std::string operator()(const Serviced& e) const {
        const Service* const found = find_service(pack, e.service);
        return "Routine work done: " + (found ? found->name : e.service) + ".";
    }
    std::string operator()(const PartUsed& e) const {
        return "Part used: " + counted(e.part, e.count) + ".";
    }
};

/// How much of a fix was done when its end was said, by the events up to then: " 4 of 6 steps done. Skipped: step 3."
std::string steps_at_end(const Pack& pack, std::span<const Event> until) {
    const auto* const finished = std::get_if<FixFinished>(&until.back().what);
    if (finished == nullptr) return "";
    const Visit then = fold(until);
    const Cause* const cause = find_cause(pack, finished->cause);
    const Attempt* const attempt = then.current_attempt();
    if (cause == nullptr || attempt == nullptr || attempt->cause != finished->cause || attempt->again) return "";
    const std::string words = steps_gone_words(steps_so_far(*cause, *attempt));
    return words.empty() ? "" : " " + words;
}

} // namespace

std::string words_of(const Pack& pack, const Happening& what, Units units) {
    return std::visit(Words{pack, units}, what);
}

std::string name_of(Person person) {
    return person == Person::keeper ? "the keeper" : person == Person::helper ? "a helper" : "a newcomer";
}

std::string summary_of(const VisitRow& row) {
    if (!row.closed) return row.headline;
    const std::string closed(words_of(*row.closed));
    if (row.headline.empty()) return closed;
    return row.headline + (row.headline.back() == '.' ? " " : ". ") + closed;
}

std::string parts_used_words(const Visit& visit) {
    std::string words;
    for (const auto& [part, count] : visit.parts_used) {
        words += (words.empty() ? "Parts used: " : ", ") + counted(part, count);
    }
    return words.empty() ? words : words + ".";
}

std::vector<std::string> record_lines(const Pack& pack, std::span<const Event> events, Units units,
                                      const MinutesAhead& ahead) {
    // What the fold leaves undoable was not taken back; of the taken ones the line says so.
    std::set<int> taken;
    for (const Event& event : events) {
        if (const auto* const back = std::get_if<TookBack>(&event.what)) taken.insert(back->event);
    }
    const std::vector<int> before = events_before_repair(pack, fold(events));
    std::vector<std::string> lines;
    std::string last_by;
    for (const Event& event : events) {
        if (const auto* const opened = std::get_if<Opened>(&event.what)) {
            lines.push_back(day_text(event.at, ahead) + " " + zone_text(event.at, ahead) + ", " + opened->site.name +
                            ". Pack " + opened->pack_version + ".");
        }
        if (std::holds_alternative<TookBack>(event.what)) continue;
        const auto until = static_cast<std::size_t>(&event - events.data()) + 1;
        std::string line = clock_text(event.at, ahead) + "  " + words_of(pack, event.what, units) +
                           steps_at_end(pack, events.first(until));
        if (taken.contains(event.number)) line += taken_back;
        else if (std::binary_search(before.begin(), before.end(), event.number)) line += before_the_repair;
        if (event.by != last_by) line += " [" + event.by + "]";   // named where another takes over
        last_by = event.by;
        lines.push_back(std::move(line));
    }
    return lines;
}

} // namespace beckhand
