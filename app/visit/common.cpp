// Pieces that several screens of a visit share, and the choice of the screen itself.
#include <algorithm>

#include "app/entry.h"
#include "app/figures.h"
#include "app/kit/installation.h"
#include "app/log/record_text.h"
#include "app/visit/drawn.h"
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* taken_back = "Taken back: ";
constexpr const char* something_else = "Something that is not in the pack";
constexpr const char* would_change_heading = "What would change this";
constexpr const char* rests_on_heading = "It rests on";
constexpr const char* more_heading = "More";
constexpr const char* in_doubt = "Doubt: see below";
constexpr const char* more_in_doubt = "More: what does not fit";
constexpr const char* why_heading = "Why this is asked";
constexpr const char* so_far_heading = "What it looks like so far";
constexpr const char* leave_open = "Leave the visit open";
constexpr const char* hand_on = "Hand it on";
constexpr const char* close_as_is = "Close it as it is";
constexpr const char* kept_from_heading = "You keep away from";
constexpr const char* safe_now = "It is safe there now";
constexpr const char* accept = "Save";
constexpr const char* with_care = "Taken with care, as described";

/// How much of what was taken back need not be said: the question, when it stands on the screen again.
std::size_t asked_again(const State& state, const Pack& pack) {
    if (!state.scene.observation) return 0;
    const std::string ask = pack.observations[*state.scene.observation].ask + " ";
    return state.undone.starts_with(ask) ? ask.size() : 0;
}

/// Parts that the drawing of the pump alone shows larger.
bool in_the_pump(std::string_view part) {
    return part == "waste_valve" || part == "check_valve" || part == "air_vessel" || part == "snifter" ||
           part == "body";
}

} // namespace

std::optional<Intent> visit_view(const State& state, const Pack& pack, kit::Kit& kit) {
    switch (state.scene.stage) {
        case Stage::first_sight: return first_sight_view(state, pack, kit);
        case Stage::stop_first: return stop_view(state, pack, kit);
        case Stage::clash: return clash_view(state, pack, kit);
        case Stage::ask: return question_view(state, pack, kit);
        case Stage::measure: return measure_view(state, pack, kit);
        case Stage::finding: return finding_view(state, pack, kit);
        case Stage::check: return check_view(state, pack, kit);
        case Stage::unchecked: return unchecked_view(state, pack, kit);
        case Stage::fix: return fix_view(state, pack, kit);
        case Stage::proof_measure: return proof_measure_view(state, pack, kit);
        case Stage::proof_look: return proof_look_view(state, pack, kit);
        case Stage::verdict: return verdict_view(state, pack, kit);
        case Stage::ended: return ended_view(state, pack, kit);
    }
    return std::nullopt;
}

bool little_room(const kit::Kit& kit) { return !kit.metrics().wide && !kit.metrics().tablet; }

void begin_visit_screen(const State& state, kit::Kit& kit, std::string_view id) {
    std::string note;
    const bool asking = state.scene.stage == Stage::ask || state.scene.stage == Stage::measure;
    if (asking && little_room(kit) && !state.scene.doubts.does_not_fit.empty()) {
        kit.begin_screen(id, state.scene.visit.site.name, in_doubt);
        return;
    }
    if (asking && state.scene.asked > 0) note = std::to_string(state.scene.asked) + " asked, ";
    if (state.scene.minutes > 0) note += minutes_text(state.scene.minutes);
    kit.begin_screen(id, state.scene.visit.site.name, note);
}

void say_taken_back(const State& state, const Pack& pack, kit::Kit& kit) {
    if (!state.undone.empty()) kit.words(kit::Type::small, taken_back + state.undone.substr(asked_again(state, pack)));
}

void say_doubt(const State& state, kit::Kit& kit) {
    const std::string& words = state.scene.doubts.does_not_fit;
    if (!words.empty()) kit.words(kit::Type::body, words, kit::Tone::watch);
}

void doubt_lines(const State& state, kit::Kit& kit) {
    const auto line = [&](const char* heading, const std::string& words) {
        if (words.empty()) return;
        kit.words(kit::Type::heading, heading);
        kit.words(kit::Type::body, words);
    };
    line(would_change_heading, state.scene.doubts.would_change);
    const std::string& rests_on = state.scene.doubts.rests_on;
    line(rests_on_heading, rests_on.empty() ? rests_on : rests_on + ".");
}

std::optional<Intent> answers_now(const State& state, kit::Kit& kit) {
    if (!state.another_answers) return std::nullopt;
    const std::string words = "Until now " + name_of(state.scene.visit.person) + " answered. From here on: " +
                              name_of(state.person);
    if (!kit.quiet("answers_now", words)) return std::nullopt;
    return Say{AnsweringAs{state.person}};
}

void draw_part(const State& state, kit::Kit& kit, std::string_view part, float height_px) {
    const kit::AtWork now = at_work(state);
    const bool both = in_the_pump(part) && height_px <= 0.0f && kit.metrics().wide && kit.metrics().tablet;
    if (both) kit::draw_installation(kit, state.scene.visit.site, part, state.units, kit.metrics().mm(30.0f), now);
    if (in_the_pump(part)) kit::draw_pump(kit, part, height_px, now.moves);
    else kit::draw_installation(kit, state.scene.visit.site, part, state.units, height_px, now);
}

void caution_cards(const Pack& pack, kit::Kit& kit, std::span<const std::string> ids) {
    for (const std::string& id : ids) {
        if (const Caution* const caution = find_caution(pack, id)) {
            kit.caution(caution->title, caution->say, caution->defer_to, caution->stop);
        }
    }
}

void mind_line(const Pack& pack, kit::Kit& kit, std::span<const std::string> ids) {
    for (const bool stop : {true, false}) {
        std::string titles;
        for (const std::string& id : ids) {
            const Caution* const caution = find_caution(pack, id);
            if (caution && caution->stop == stop) titles += (titles.empty() ? "" : "; ") + caution->title;
        }
        if (!titles.empty()) kit.words(kit::Type::small, titles + ".", stop ? kit::Tone::stop : kit::Tone::watch);
    }
}

bool caution_titles(const Pack& pack, kit::Kit& kit, std::span<const std::string> ids, bool open) {
    std::string titles;
    bool stop = false;
    for (const std::string& id : ids) {
        const Caution* const caution = find_caution(pack, id);
        if (!caution) continue;
        titles += (titles.empty() ? "" : "; ") + caution->title;
        stop = stop || caution->stop;
    }
    if (titles.empty()) return false;
    return kit.caution_titles("cautions", titles + ".", stop, open, [&] { caution_cards(pack, kit, ids); });
}

std::optional<Intent> caution_summary(const State& state, const Pack& pack, kit::Kit& kit,
                                      std::span<const std::string> ids) {
    std::vector<std::string> folded;
    for (const std::string& id : ids) {
        const Caution* const caution = find_caution(pack, id);
        // What can stop the job is read in full, never behind a press.
        if (caution && caution->stop) kit.caution(caution->title, caution->say, caution->defer_to, true);
        else folded.push_back(id);
    }
    if (!caution_titles(pack, kit, folded, state.how_open)) return std::nullopt;
    return Unfold{Unfold::how};
}

void opposite_gap(kit::Kit& kit) {
    constexpr float between_opposites_mm = 8.0f;
    kit.space(between_opposites_mm - kit.metrics().gap / kit.metrics().px_per_mm);
}

void list_line(kit::Kit& kit, std::string_view label, std::span<const std::string> things) {
    if (things.empty()) return;
    std::string line(label);
    for (const std::string& thing : things) line += (&thing == &things.front() ? " " : ", ") + thing;
    kit.words(kit::Type::body, line + ".");
}

std::string cause_name(const Pack& pack, std::size_t cause) {
    return cause < pack.causes.size() ? pack.causes[cause].name : something_else;
}

void likeliest(const State& state, const Pack& pack, kit::Kit& kit) {
    const Belief& belief = state.scene.belief;
    const std::size_t shown = std::min<std::size_t>(3, belief.ranked.size());
    for (std::size_t i = 0; i < shown; ++i) {
        const std::size_t cause = belief.ranked[i];
        kit.words(kit::Type::body, cause_name(pack, cause) + ": " + sureness(belief.of(cause)));
    }
}

std::optional<Intent> ways_out(const State& state, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.line();
    if (kit.quiet("leave", leave_open)) did = ShowSite{state.scene.visit.site_id};
    if (kit.quiet("hand_on", hand_on)) did = ShowBrief{state.scene.visit.site_id};
    if (kit.hold("close", close_as_is)) did = Say{Closed{Closing::left_as_is}};
    return did;
}

std::optional<Intent> more_panel(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const auto inside = [&] {
        if (little_room(kit)) say_doubt(state, kit);   // elsewhere it stands open
        kit.words(kit::Type::heading, why_heading);
        kit.words(kit::Type::body, state.scene.why);
        kit.words(kit::Type::heading, so_far_heading);
        likeliest(state, pack, kit);
        doubt_lines(state, kit);
        const auto& kept = state.scene.visit.kept_from;
        if (!kept.empty()) kit.words(kit::Type::heading, kept_from_heading);
        for (const std::string& id : kept) {
            const Caution* const caution = find_caution(pack, id);
            kit.words(kit::Type::body, (caution ? caution->title : id) + ".");
            if (kit.hold("safe_" + id, safe_now)) did = Say{SafeNow{id}};
        }
        if (const auto out = ways_out(state, kit)) did = out;
    };
    const bool doubt_inside = little_room(kit) && !state.scene.doubts.does_not_fit.empty();
    if (kit.fold("more", doubt_inside ? more_in_doubt : more_heading, state.sure_open, inside)) did = Unfold{Unfold::sure};
    return did;
}

std::optional<Intent> measurement_keypad(const State& state, const Pack& pack, kit::Kit& kit) {
    const std::optional<Wanted> wanted = wanted_of(state, pack);
    if (!wanted) return std::nullopt;
    char digit = 0;
    const kit::KeypadPress press = kit.keypad("figure", typed_of(*state.entry, *wanted, state.units), digit, accept);
    if (press == kit::KeypadPress::none) return std::nullopt;
    return Press{press, digit};
}

std::optional<Intent> care_tick(const State& state, kit::Kit& kit) {
    if (!state.entry) return std::nullopt;
    const bool careful = state.entry->care == Care::careful;
    if (!kit.tick("care", with_care, careful)) return std::nullopt;
    return ChooseCare{careful ? Care::sloppy : Care::careful};
}

bool back_button(kit::Kit& kit) { return kit.bar_button("back", "Back", kit::Slot::left); }

} // namespace beckhand
