// The brief put together: cautions, the way there, how it should run, what to leave alone, when to call.
#include "app/handover/brief.h"

#include <algorithm>

#include "engine/diagnosis/derived.h"

namespace beckhand {
namespace {

// What a person meets at any ram, whatever is wrong with it.
constexpr const char* usual_cautions[] = {"stored_pressure", "pinch", "cold_water", "burst_plastic",
                                          "not_drinking_water"};
constexpr const char* on_sheet = "site sheet";

void add_caution(const Pack& pack, const std::string& id, bool holds_now, std::vector<BriefCaution>& to) {
    const auto there = std::find_if(to.begin(), to.end(), [&](const BriefCaution& c) { return c.id == id; });
    if (there != to.end()) {
        there->holds_now = there->holds_now || holds_now;
        return;
    }
    const Caution* const found = find_caution(pack, id);
    if (found != nullptr) to.push_back({found->id, found->title, found->say, found->defer_to, found->stop, holds_now});
}

/// Any of these answers was given, so that the stop rule was raised in this visit.
bool raised(const Caution& caution, const Visit& visit) {
    return std::any_of(caution.fires_on.begin(), caution.fires_on.end(), [&](const Pointed& on) {
        const Answered* const given = visit.answer_to(on.observation);
        return given != nullptr && given->answer == on.answer;
    });
}

template <class Q>
void run_line(const char* name, const std::optional<Expected<Q>>& figure, bool in_record, Figure kind, Units units,
              BriefSection& section) {
    if (!figure) return;
    BriefLine line;
    line.text = std::string(name) + ": " + format_figure(kind, figure->likely.si(), units) + "; " +
                band_text(kind, figure->least.si(), figure->most.si(), units) + " is sound.";
    line.ground = in_record ? Ground::known : Ground::guessed;
    line.from = figure->basis;
    section.lines.push_back(std::move(line));
}

BriefSection run_section(const BriefSource& source) {
    BriefSection section{"run", "How it should sound and run", {}};
    const Expectation& expected = source.expected;
    const HealthyRecord& record = source.site.record;
    const Units units = source.units;
    run_line("Beat", expected.beat, record.beat.has_value(), Figure::beat, units, section);
    if (expected.beat) {
        const Duration between = seconds(1.0 / expected.beat->likely.si());
        section.lines.push_back({"By ear: one knock about every " + significant_text(between.si(), 2) + " s, all alike.",
                                 record.beat ? Ground::known : Ground::guessed, "from the beat"});
    }
    run_line("Delivered at the tank", expected.delivered, record.delivered.has_value(), Figure::flow, units, section);
    run_line("Waste flow", expected.waste, record.waste.has_value(), Figure::flow, units, section);
    run_line("Pressure, running", expected.pressure_running, record.running.has_value(), Figure::pressure, units, section);
    if (expected.pressure_stopped) {
        section.lines.push_back({"Pressure, stopped: " + format_pressure(*expected.pressure_stopped, units) + ".",
                                 Ground::guessed, "the height of the delivery pipe"});
    }
    if (section.lines.empty()) {
        section.lines.push_back({"Nobody has written down how it runs when it is well, and too little of the site is "
                                 "measured to work it out.",
                                 Ground::guessed, "gaps on the site sheet"});
    }
    return section;
}

/// The figure a helper takes most easily: a beat needs a watch, a flow a bucket too.
std::optional<Brief::Yardstick> yardstick_of(const Expectation& expected) {
    if (const auto& beat = expected.beat) return Brief::Yardstick{"Beat", Figure::beat, beat->least.si(), beat->most.si()};
    if (const auto& flow = expected.delivered) {
        return Brief::Yardstick{"Delivered at the tank", Figure::flow, flow->least.si(), flow->most.si()};
    }
    return std::nullopt;
}

BriefSection way_section(const BriefSource& source) {
    BriefSection section{"way", "Where it is and how to get there", {}};
    const Site& site = source.site;
    if (site.access.empty()) {
        section.lines.push_back(
            {"The way is not written down. Ask before you set out, and write it on the site sheet.", Ground::rule, ""});
    } else {
        section.lines.push_back({site.access, Ground::known, on_sheet});
    }
    std::string heights;
    if (site.fall) heights += "Fall " + format_length(*site.fall, source.units);
    if (site.lift) heights += (heights.empty() ? "Lift " : ", lift ") + format_length(*site.lift, source.units);
    if (site.drive_length) {
        heights += (heights.empty() ? "Drive pipe " : ", drive pipe ") + format_length(*site.drive_length, source.units);
    }
    if (site.delivery_length) {
        heights += (heights.empty() ? "Delivery pipe " : ", delivery pipe ") +
                   format_length(*site.delivery_length, source.units);
    }
    if (!heights.empty()) section.lines.push_back({heights + ".", Ground::known, on_sheet});
    return section;
}

BriefSection stands_section(const BriefSource& source) {
    BriefSection section{"stands", "How it stands", {}};
    if (source.open && !source.open_events.empty()) {
        const Event& first = source.open_events.front();
        const std::string state = source.ended ? "The last visit put nothing right (" + std::string(words_of(*source.ended)) + "): "
                                               : "A visit is open and goes on where it stopped: ";
        section.lines.push_back({state + std::to_string(source.open->asked) + " asked and measured.", Ground::known,
                                 "opened " + when_and_who(first, source.minutes_ahead)});
        return section;
    }
    if (source.visits.empty()) {
        section.lines.push_back({"Nobody has been here with the program yet.", Ground::known, "the log"});
        return section;
    }
    const Visit last = fold(source.visits.front());
    const std::string how = last.closed ? std::string(words_of(*last.closed)) : "left open";
    section.lines.push_back({"No visit is open. The last one ended so: " + how + ".", Ground::known,
                             when_and_who(source.visits.front().back(), source.minutes_ahead)});
    return section;
}

/// Common practice at any ram, beside what the open visit says to keep away from.
BriefSection leave_section(const Pack& pack, const BriefSource& source) {
    BriefSection section{"leave", "What not to touch", {}};
    if (source.open) {
        for (const std::string& id : source.open->visit.kept_from) {
            const Caution* const caution = find_caution(pack, id);
            section.lines.push_back({"Keep away: " + (caution ? caution->title : id) + ".", Ground::rule, ""});
        }
    }
    const char* const rules[] = {
        "Vessel, check valve and delivery unions while there is pressure: let it down slowly to zero first.",
        "Nuts, spring and weight of the waste valve: they are set. Mark where they stand before any repair that moves them.",
        "Gates and valves: leave each one as you found it, unless a step of the program names it.",
        "Anything that no step of the program names.",
    };
    for (const char* const rule : rules) section.lines.push_back({rule, Ground::rule, ""});
    return section;
}

BriefSection call_section(const BriefSource& source) {
    BriefSection section{"call", "When to stop and call", {}};
    if (source.site.call.empty()) {
        section.lines.push_back({"Who to call is not written down: ask now, before you go.", Ground::rule, ""});
    } else {
        section.lines.push_back({"Call: " + source.site.call, Ground::known, on_sheet});
    }
    const char* const rules[] = {
        "A stop rule above is met: leave the place first, then call.",
        "You see something that is not on this brief, or are not sure.",
        "The repair is done and its proof is not reached.",
        "Pressure vessels, licences and drinking water are for licensed trades: you only look.",
    };
    for (const char* const rule : rules) section.lines.push_back({rule, Ground::rule, ""});
    section.lines.push_back({"Say how it went when you are back, good or bad.", Ground::rule, ""});
    return section;
}

} // namespace

std::string_view word_of(Ground ground) {
    switch (ground) {
        case Ground::rule: return "";
        case Ground::known: return "Known";
        case Ground::guessed: return "Guess";
    }
    return "";
}

const BriefSection* Brief::section(std::string_view id) const {
    const auto found = std::find_if(sections.begin(), sections.end(), [&](const BriefSection& s) { return s.id == id; });
    return found == sections.end() ? nullptr : &*found;
}

std::string when_and_who(const Event& event, const MinutesAhead& ahead) {
    return day_text(event.at, ahead) + (event.by.empty() ? "" : ", " + event.by);
}

std::vector<BriefCaution> brief_cautions(const Pack& pack, const BriefSource& source, const NextCheck& next) {
    std::vector<BriefCaution> all;
    for (const char* const id : usual_cautions) add_caution(pack, id, false, all);
    for (const std::string& id : next.cautions) add_caution(pack, id, false, all);
    if (source.open && source.open->cause) {
        const Fix& fix = pack.causes[*source.open->cause].fix;
        for (const std::string& id : fix.cautions) add_caution(pack, id, false, all);
        for (const Step& step : fix.steps) {
            for (const std::string& id : step.cautions) add_caution(pack, id, false, all);
        }
    }
    // Every stop rule can come true at any creek, so none is left out.
    for (const Caution& caution : pack.cautions) {
        if (!caution.stop) continue;
        const bool here = source.open && source.open->stage == Stage::stop_first &&
                          &pack.cautions[source.open->caution.value()] == &caution;
        const auto& kept = source.open ? source.open->visit.kept_from : std::vector<std::string>{};
        const bool followed = std::find(kept.begin(), kept.end(), caution.id) != kept.end();
        add_caution(pack, caution.id, here || followed || (source.open && raised(caution, source.open->visit)), all);
    }
    std::stable_sort(all.begin(), all.end(), [](const BriefCaution& a, const BriefCaution& b) {
        return std::make_pair(!a.stop, !a.holds_now) < std::make_pair(!b.stop, !b.holds_now);
    });
    return all;
}

Brief brief_of(const Pack& pack, const Model& model, const BriefSource& source) {
    Brief brief;
    brief.site = source.site.name;
    brief.made_on = day_text(source.now, source.minutes_ahead);
    brief.by = source.by;
    brief.pack_version = pack.version;
    brief.call = source.site.call;
    brief.units = source.units;
    brief.next = next_check(pack, model, source);
    brief.cautions = brief_cautions(pack, source, brief.next);
    brief.yardstick = yardstick_of(source.expected);
    brief.sections = {way_section(source),        stands_section(source), leave_section(pack, source), call_section(source),
                      run_section(source), known_section(pack, source), guessed_section(pack, source)};
    return brief;
}

} // namespace beckhand
