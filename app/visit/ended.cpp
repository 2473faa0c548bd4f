// The end of a visit: how it ended, what to look at later, and its closing, which is held and not pressed.
#include "app/figures.h"
#include "app/log/record_text.h"
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* closed_heading = "The visit is closed";
constexpr const char* proved_heading = "Put right and proved";
constexpr const char* closed_proved_heading = "Closed: put right and proved";
constexpr const char* done_heading = "What was done";
constexpr const char* open_heading = "Still open";
constexpr const char* take_up = "Take up: ";
constexpr const char* measure_now = "Measure now: ";
constexpr const char* so_far = "What it looks like so far";
constexpr const char* close_proved = "Close the visit";
constexpr const char* look_again = "Look again";
constexpr const char* asked_words = "Asked and measured";
constexpr const char* time_words = "Time at it";
constexpr const char* hand_on = "Hand it on";
constexpr const char* read_record = "Read the record";

const Cause* proved_cause(const State& state, const Pack& pack) {
    const std::vector<Attempt>& attempts = state.scene.visit.attempts;
    const bool proved = !attempts.empty() && attempts.back().verdict == Verdict::proved;
    return proved ? find_cause(pack, attempts.back().cause) : nullptr;
}

std::optional<Intent> closings(bool proved, kit::Kit& kit) {
    std::optional<Intent> did;
    if (proved) {
        if (kit.hold("close_proved", close_proved)) did = Say{Closed{Closing::proved}};
        return did;
    }
    if (kit.hold("close_called_help", "Help is called")) did = Say{Closed{Closing::called_help}};
    if (kit.hold("close_handed_on", "Handed on")) did = Say{Closed{Closing::handed_on}};
    if (kit.hold("close_left", "Left as it is")) did = Say{Closed{Closing::left_as_is}};
    return did;
}

void how_it_stands(const State& state, const Cause* proved, kit::Kit& kit) {
    if (proved) {
        const bool closed = state.scene.visit.closed.has_value();
        kit.card(kit::Tone::good, closed ? closed_proved_heading : proved_heading, proved->name + ". " + proved->fix.keep);
        if (!proved->proof.later.empty()) kit.card(kit::Tone::plain, look_again, proved->proof.later);
        return;
    }
    if (state.scene.visit.closed) return;
    const EndWords end = end_words(state.scene);
    kit.card(kit::Tone::watch, end.heading, end.words);
}

/// What was tried and what came of it; then what is open, to be taken up while the visit is.
std::optional<Intent> done_and_open(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Scene& scene = state.scene;
    if (!scene.done.empty()) kit.words(kit::Type::heading, done_heading);
    for (const std::string& line : scene.done) kit.words(kit::Type::body, line);
    if (const std::string used = parts_used_words(scene.visit); !used.empty()) kit.words(kit::Type::body, used);
    if (!scene.open.empty()) kit.words(kit::Type::heading, open_heading);
    for (const std::string& id : scene.open) {
        const std::string& name = find_cause(pack, id)->name;
        const bool repaired = scene.visit.unproved(id) != nullptr;
        if (scene.visit.closed) kit.words(kit::Type::body, name + ".");
        else if (kit.quiet("open_" + id, (repaired ? measure_now : take_up) + name)) {
            did = repaired ? Say{FixFinished{id}} : Say{FixChosen{id}};
        }
    }
    return did;
}

} // namespace

std::optional<Intent> ended_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Visit& visit = state.scene.visit;
    const Cause* const proved = proved_cause(state, pack);
    begin_visit_screen(state, kit, "ended");
    kit.side();
    if (kit.metrics().wide) draw_part(state, kit, proved ? proved->part : "", 0.0f);
    kit.main();
    say_taken_back(state, pack, kit);
    if (visit.closed && !(proved && visit.closed == Closing::proved)) {
        kit.card(kit::Tone::plain, closed_heading, std::string(words_of(*visit.closed)) + ".");
    }
    if (!proved) say_doubt(state, kit);
    how_it_stands(state, proved, kit);
    if (const auto open = done_and_open(state, pack, kit)) did = open;
    if (!proved && !visit.closed) {
        kit.words(kit::Type::heading, so_far);
        likeliest(state, pack, kit);
    }
    kit.label_and_figure(asked_words, std::to_string(state.scene.asked));
    kit.label_and_figure(time_words, "about " + minutes_text(state.scene.minutes));
    if (!visit.closed) {
        if (const auto close = closings(proved != nullptr, kit)) did = close;
    }
    if (kit.quiet("hand_on", hand_on)) did = ShowBrief{visit.site_id};
    if (kit.quiet("record", read_record)) did = ReadRecord{state.visit_id};
    kit.bar();
    if (kit.bar_button("back", visit.closed ? "Site" : "Back", kit::Slot::left)) did = Back{};
    if (visit.closed && kit.bar_button("sites", "Sites", kit::Slot::right, true, true)) did = Show{Screen::sites};
    kit.end_screen();
    return did;
}

} // namespace beckhand
