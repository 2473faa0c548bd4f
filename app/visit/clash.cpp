// Two answers that cannot both be true, side by side, before anything else is asked. Both are saved already: either is
// pressed to look at it again, and keeping both is an answer too.
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* heading = "Not both can be true. Look again at one";
constexpr const char* both = "I see both";

} // namespace

std::optional<Intent> clash_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Clash& clash = state.scene.clash.value();
    const Observation* const later = find_observation(pack, clash.later.what.observation);
    begin_visit_screen(state, kit, "clash");
    kit.side();
    if (later && kit.metrics().wide) draw_part(state, kit, later->part, 0.0f);
    kit.main();
    say_taken_back(state, pack, kit);
    kit.words(kit::Type::question, heading);
    const SaidWords first = words_of(pack, clash.earlier), second = words_of(pack, clash.later);
    if (kit.row("first", first.answer, first.question)) did = LookAgain{false};
    if (kit.row("second", second.answer, second.question)) did = LookAgain{true};
    kit.words(kit::Type::body, pack.impossible[clash.row].why);
    if (const auto out = ways_out(state, kit)) did = out;
    kit.bar();
    if (back_button(kit)) did = Back{};
    if (kit.bar_button("both", both, kit::Slot::right)) did = Say{keep_both(state.scene.visit, clash)};
    kit.end_screen();
    return did;
}

} // namespace beckhand
