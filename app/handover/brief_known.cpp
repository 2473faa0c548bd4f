// What is known of a site and what is only guessed: from the visit that is open first, then from the visits
// before it. Each figure is the record's own, with its day and who took it.
#include "app/handover/brief.h"

#include <algorithm>
#include <set>

#include "app/log/record_text.h"
#include "app/site/trend_words.h"
#include "engine/diagnosis/present.h"

namespace beckhand {
namespace {

constexpr std::size_t most_seen = 10;      // lines of the visit that is open: the latest
constexpr std::size_t most_figures = 5;    // figures of earlier visits
constexpr std::size_t most_repairs = 4;    // proved repairs of earlier visits
constexpr std::size_t most_causes = 3;

const Event* event_of(const std::vector<Event>& events, int number) {
    for (const Event& event : events) {
        if (event.number == number) return &event;
    }
    return nullptr;
}

/// "seen 25 Nov 2026, keeper"; a fact of before the repair that followed is said to be one.
std::string from_words(const char* verb, const Event* event, const std::vector<int>& before, const MinutesAhead& ahead) {
    if (event == nullptr) return verb;
    const bool old = std::binary_search(before.begin(), before.end(), event->number);
    return std::string(verb) + " " + when_and_who(*event, ahead) + (old ? ", before the repair" : "");
}

struct Dated {
    int number = 0;
    BriefLine line;
};

/// Answers and figures of a visit in the order they came.
std::vector<Dated> facts_in(const Pack& pack, const std::vector<Event>& events, Units units, const MinutesAhead& ahead) {
    const Visit visit = fold(events);
    const std::vector<int> before = events_before_repair(pack, visit);
    std::vector<Dated> facts;
    for (const Answered& given : visit.answers) {
        const Observation* const asked = find_observation(pack, given.observation);
        const Answer* const answer = asked ? find_answer(*asked, given.answer) : nullptr;
        if (answer == nullptr || answer->cannot) continue;
        const int number = visit.answered_at.at(given.observation);
        facts.push_back({number, BriefLine{asked->ask + " " + answer->say + ".", Ground::known,
                                           from_words(given.told ? "told" : "seen", event_of(events, number), before, ahead)}});
    }
    for (const auto& [id, taken] : visit.as_found) {
        const Measurement* const how = find_measurement(pack, id);
        if (how == nullptr) continue;
        const int number = visit.measured_at.at(id);
        facts.push_back({number, BriefLine{how->name + ": " + format_measured(*how, taken.value_si, units) + ".", Ground::known,
                                           from_words(taken.care == Care::sloppy ? "measured in a hurry" : "measured",
                                                      event_of(events, number), before, ahead)}});
    }
    std::stable_sort(facts.begin(), facts.end(), [](const Dated& a, const Dated& b) { return a.number < b.number; });
    return facts;
}

/// What was checked and what a repair brought, with the figures of its proof.
void add_attempts(const Pack& pack, const std::vector<Event>& events, Units units, const MinutesAhead& ahead,
                  bool proved_only, std::size_t most, std::vector<BriefLine>& to) {
    const Visit visit = fold(events);
    std::size_t added = 0;
    for (const Attempt& attempt : visit.attempts) {
        const Cause* const cause = find_cause(pack, attempt.cause);
        const bool proved = attempt.verdict == Verdict::proved || attempt.verdict == Verdict::better;
        const bool is_known = proved || attempt.verdict == Verdict::not_it || attempt.check == CheckResult::no ||
                              (!attempt.verdict && attempt.check == CheckResult::yes);
        if (cause == nullptr || added == most || !is_known || (proved_only && !proved)) continue;
        const Event* const judged = attempt.judged > 0 ? event_of(events, attempt.judged) : &events.back();
        std::string text = attempt.check == CheckResult::no        ? "Checked, and it is not this: "
                           : attempt.verdict == Verdict::proved    ? "Put right and proved: "
                           : attempt.verdict == Verdict::better    ? "Repaired, and it got better: "
                           : attempt.verdict == Verdict::not_it    ? "Repaired, and it did not help: "
                                                                   : "Checked, and it is this: ";
        text += cause->name + ".";
        for (const auto& [id, taken] : attempt.proof) {
            const Measurement* const how = find_measurement(pack, id);
            if (how != nullptr && proved) text += " " + how->name + " " + format_measured(*how, taken.value_si, units) + " after it.";
        }
        to.push_back({text, Ground::known, (proved ? "proved " : "checked ") + when_and_who(*judged, ahead)});
        ++added;
    }
}

/// The latest figure of each kind of the visits before, newest first.
void add_latest_figures(const Pack& pack, const BriefSource& source, const std::vector<const std::vector<Event>*>& visits,
                        std::vector<BriefLine>& to) {
    std::set<std::string> had;
    for (const std::vector<Event>* const events : visits) {
        const Visit visit = fold(*events);
        for (const auto& [id, taken] : visit.as_found) {
            const Measurement* const how = find_measurement(pack, id);
            if (how == nullptr || had.size() == most_figures || !had.insert(id).second) continue;
            const Event* const event = event_of(*events, visit.measured_at.at(id));
            to.push_back({how->name + ": " + format_measured(*how, taken.value_si, source.units) + ".", Ground::known,
                          from_words("measured", event, {}, source.minutes_ahead)});
        }
    }
}

std::vector<const std::vector<Event>*> earlier_visits(const BriefSource& source) {
    std::vector<const std::vector<Event>*> earlier;
    for (const std::vector<Event>& events : source.visits) {
        // Visits are told apart by when they were opened and what they hold: the open one was handed in twice.
        const bool is_open = source.open && !source.open_events.empty() && !events.empty() &&
                             events.front().at == source.open_events.front().at && !fold(events).closed;
        if (!events.empty() && !is_open) earlier.push_back(&events);
    }
    return earlier;
}

} // namespace

BriefSection known_section(const Pack& pack, const BriefSource& source) {
    BriefSection section{"known", "What is known", {}};
    if (source.open) {
        std::vector<Dated> facts = facts_in(pack, source.open_events, source.units, source.minutes_ahead);
        if (facts.size() > most_seen) facts.erase(facts.begin(), facts.end() - static_cast<std::ptrdiff_t>(most_seen));
        for (Dated& fact : facts) section.lines.push_back(std::move(fact.line));
        add_attempts(pack, source.open_events, source.units, source.minutes_ahead, false, most_causes, section.lines);
        const char* const said = source.ended ? "said in the last visit" : "said in the visit that is open";
        if (const std::string used = parts_used_words(source.open->visit); !used.empty()) {
            section.lines.push_back({used, Ground::known, said});
        }
        for (const std::string& note : source.open->visit.notes) {
            section.lines.push_back({"Note: " + note, Ground::known, said});
        }
    }
    const auto earlier = earlier_visits(source);
    std::size_t repairs = 0;
    for (const std::vector<Event>* const events : earlier) {
        const std::size_t before = section.lines.size();
        if (repairs < most_repairs) {
            add_attempts(pack, *events, source.units, source.minutes_ahead, true, most_repairs - repairs, section.lines);
        }
        repairs += section.lines.size() - before;
    }
    add_latest_figures(pack, source, earlier, section.lines);
    std::vector<Visit> visits;
    for (const std::vector<Event>* const events : earlier) visits.push_back(fold(*events));
    if (const std::string often = parts_often_words(parts_used_often(visits, source.now)); !often.empty()) {
        section.lines.push_back({often, Ground::known, "the visits before"});
    }
    if (section.lines.empty()) section.lines.push_back({"Nothing was seen or measured yet.", Ground::known, "the log"});
    return section;
}

BriefSection guessed_section(const Pack& pack, const BriefSource& source) {
    BriefSection section{"guessed", "What is only guessed", {}};
    if (source.open) {
        const Belief& belief = source.open->belief;
        for (std::size_t i = 0; i < most_causes && i < belief.ranked.size(); ++i) {
            const std::size_t cause = belief.ranked[i];
            section.lines.push_back({(cause < pack.causes.size() ? pack.causes[cause].name
                                                                 : std::string("Something that is not in the pack")) + ".",
                                     Ground::guessed, "right " + sureness(belief.of(cause))});
        }
        for (const std::string& id : source.open->open) {
            const bool repaired = source.open->visit.unproved(id) != nullptr;
            section.lines.push_back({(repaired ? "Repaired, not proved yet: " : "Put aside: ") + find_cause(pack, id)->name + ".",
                                     Ground::guessed, "no proof"});
        }
    } else {
        section.lines.push_back({"Nothing is believed to be wrong, and nobody has looked since the last visit.", Ground::guessed,
                                 "no visit is open"});
    }
    for (const Limit& limit : check_site(source.site, source.units)) {
        if (limit.state != LimitState::broken) continue;
        section.lines.push_back({limit.name + ": found " + limit.found + ", wanted " + limit.wanted + ".", Ground::guessed,
                                 "a limit of the site, from its sheet"});
    }
    return section;
}

} // namespace beckhand
