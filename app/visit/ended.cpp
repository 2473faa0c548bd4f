// The end of a visit: how it ended, what to look at later, and its closing, which is held and not pressed.
#include "app/figures.h"
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* closed_heading = "The visit is closed";
constexpr const char* proved_heading = "Put right and proved";
constexpr const char* closed_proved_heading = "Closed: put right and proved";
constexpr const char* no_fit_heading = "Nothing in the pack fits well";
constexpr const char* no_fit_words =
    "What was seen does not fit any cause that the program knows. Hand it to somebody who builds pumps. The "
    "record shows all that was seen.";
constexpr const char* nothing_left_heading = "Nothing is left to try";
constexpr const char* nothing_left_words =
    "All likely causes were checked. Hand it on with the record, so that nobody does it all again.";
constexpr const char* so_far = "What it looks like so far";
constexpr const char* close_proved = "Hold to close the visit";
constexpr const char* look_again = "Look again";
constexpr const char* asked_words = "Asked and measured";
constexpr const char* time_words = "Time at it";
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
    if (kit.hold("close_called_help", "Hold: help is called")) did = Say{Closed{Closing::called_help}};
    if (kit.hold("close_handed_on", "Hold: handed on")) did = Say{Closed{Closing::handed_on}};
    if (kit.hold("close_left", "Hold: left as it is")) did = Say{Closed{Closing::left_as_is}};
    return did;
}

void how_it_stands(const State& state, const Pack& pack, const Cause* proved, kit::Kit& kit) {
    if (proved) {
        const bool closed = state.scene.visit.closed.has_value();
        kit.card(kit::Tone::good, closed ? closed_proved_heading : proved_heading, proved->name + ". " + proved->fix.keep);
        if (!proved->proof.later.empty()) kit.card(kit::Tone::plain, look_again, proved->proof.later);
        return;
    }
    if (state.scene.visit.closed) return;
    const auto* const finish = std::get_if<Finish>(&state.scene.offer.step);
    const bool fits = finish && finish->reason == EndReason::nothing_left;
    kit.card(kit::Tone::watch, fits ? nothing_left_heading : no_fit_heading, fits ? nothing_left_words : no_fit_words);
    kit.words(kit::Type::heading, so_far);
    likeliest(state, pack, kit);
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
    how_it_stands(state, pack, proved, kit);
    kit.label_and_figure(asked_words, std::to_string(state.scene.asked));
    kit.label_and_figure(time_words, "about " + minutes_text(state.scene.minutes));
    if (!visit.closed) {
        if (const auto close = closings(proved != nullptr, kit)) did = close;
    }
    if (kit.quiet("record", read_record)) did = ReadRecord{state.visit_id};
    kit.bar();
    if (kit.bar_button("back", visit.closed ? "Site" : "Back", kit::Slot::left)) did = Back{};
    if (visit.closed && kit.bar_button("sites", "Sites", kit::Slot::right, true, true)) did = Show{Screen::sites};
    kit.end_screen();
    return did;
}

} // namespace beckhand
