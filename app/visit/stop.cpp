// A stop rule: nothing else is on the screen until it was read and followed.
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* before_anything = "Before anything else";
constexpr const char* then_go_on =
    "Is it safe there now? If you keep away, nothing more is asked at that place.";
constexpr const char* done_keep_away = "I keep away from it";
constexpr const char* done_safe = "It is safe there now";
constexpr const char* leaving_heading = "Leaving for good? Close the visit";
constexpr const char* leaving = "I am leaving";
constexpr const char* leaving_help = "Help is called";
constexpr const char* leaving_closed = "Left as it is";

} // namespace

std::optional<Intent> stop_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Caution& caution = pack.cautions[state.scene.caution.value()];
    begin_visit_screen(state, kit, "stop_first");
    kit.main();
    say_taken_back(state, pack, kit);
    kit.words(kit::Type::question, before_anything, kit::Tone::stop);
    kit.caution(caution.title, caution.say, caution.defer_to, true);
    kit.words(kit::Type::body, then_go_on);
    if (kit.hold("heeded", done_keep_away)) did = Say{Heeded{caution.id}};
    if (kit.hold("safe_now", done_safe)) did = Say{SafeNow{caution.id}};
    kit.words(kit::Type::heading, leaving_heading);
    if (kit.hold("close_called_help", leaving_help)) did = Say{Closed{Closing::called_help}};
    if (kit.hold("close", leaving_closed)) did = Say{Closed{Closing::left_as_is}};
    kit.bar();
    if (back_button(kit)) did = Back{};
    // The visit stays open, and stands here again when somebody comes back to it.
    if (kit.bar_button("leave", leaving, kit::Slot::right, true, true)) did = ShowSite{state.scene.visit.site_id};
    kit.end_screen();
    return did;
}

} // namespace beckhand
