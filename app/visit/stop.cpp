// A stop rule: nothing else is on the screen until it was read and followed.
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* before_anything = "Before anything else";
constexpr const char* then_go_on = "The visit goes on when this is done and it is safe to stay.";
constexpr const char* done = "Hold: I have done this";

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
    if (kit.hold("heeded", done)) did = Say{Heeded{caution.id}};
    if (const auto out = ways_out(state, kit)) did = out;
    kit.bar();
    if (back_button(kit)) did = Back{};
    kit.end_screen();
    return did;
}

} // namespace beckhand
