// Two answers that cannot both be true, one under the other, before anything else is asked. Both are saved already;
// looking again at one of them is a question like any other, and keeping both is an answer too.
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* heading = "These two cannot both be true";
constexpr const char* look_at_first = "Look at the first again";
constexpr const char* look_at_second = "Look at the second again";
constexpr const char* both = "Both are what I see";

} // namespace

std::optional<Intent> clash_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Clash& clash = state.scene.clash.value();
    const Observation* const later = find_observation(pack, clash.later.what.observation);
    begin_visit_screen(state, kit, "clash");
    kit.side();
    if (later) draw_part(state, kit, later->part, kit.metrics().wide ? 0.0f : kit.metrics().mm(24.0f));
    kit.main();
    say_taken_back(state, pack, kit);
    kit.words(kit::Type::question, heading);
    for (const Said* said : {&clash.earlier, &clash.later}) {
        const SaidWords words = words_of(pack, *said);
        kit.card(kit::Tone::watch, words.answer, words.question);
    }
    kit.words(kit::Type::body, pack.impossible[clash.row].why);
    if (kit.answer("first", look_at_first)) did = LookAgain{false};
    if (kit.answer("second", look_at_second)) did = LookAgain{true};
    if (kit.answer("both", both)) did = Say{keep_both(state.scene.visit, clash)};
    if (const auto out = ways_out(state, kit)) did = out;
    kit.bar();
    if (back_button(kit)) did = Back{};
    kit.end_screen();
    return did;
}

} // namespace beckhand
