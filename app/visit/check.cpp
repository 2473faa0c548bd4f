// The look or trial that settles a cause, its cautions' titles first; what is seen is the answer.
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* check_of = "Check: ";
constexpr const char* take = "Take:";
constexpr const char* what_happens = "What happens?";
constexpr const char* could_not = "Could not check";
constexpr const char* not_made = "The check could not be made";
constexpr const char* nothing_sure =
    "So it is not sure that this is the cause. The repair may be work for nothing. What now?";
constexpr const char* all_the_same = "Repair it all the same";
constexpr const char* without = "Go on without it";

} // namespace

std::optional<Intent> check_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Cause& cause = pack.causes[state.scene.cause.value()];
    begin_visit_screen(state, kit, "check");
    kit.side();
    say_taken_back(state, pack, kit);
    kit.words(kit::Type::heading, check_of + cause.name);
    if (const auto read = caution_summary(state, pack, kit, cause.check.cautions)) did = read;
    if (kit.metrics().wide) draw_part(state, kit, cause.part, 0.0f);
    kit.main();
    kit.words(kit::Type::question, cause.check.say);
    list_line(kit, take, cause.check.tools);
    kit.words(kit::Type::body, what_happens);
    if (kit.answer("yes", cause.check.yes)) did = Say{Checked{cause.id, CheckResult::yes}};
    opposite_gap(kit);
    if (kit.answer("no", cause.check.no)) did = Say{Checked{cause.id, CheckResult::no}};
    if (const auto out = ways_out(state, kit)) did = out;
    kit.bar();
    if (back_button(kit)) did = Back{};
    if (kit.bar_button("could_not", could_not, kit::Slot::right)) did = Say{Checked{cause.id, CheckResult::could_not}};
    kit.end_screen();
    return did;
}

std::optional<Intent> unchecked_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Cause& cause = pack.causes[state.scene.cause.value()];
    begin_visit_screen(state, kit, "unchecked");
    kit.side();
    draw_part(state, kit, cause.part, kit.metrics().wide ? 0.0f : kit.metrics().mm(34.0f));
    kit.main();
    say_taken_back(state, pack, kit);
    kit.words(kit::Type::small, not_made);
    kit.words(kit::Type::question, cause.name);
    kit.words(kit::Type::body, nothing_sure);
    if (kit.answer("all_the_same", all_the_same)) did = Say{FixChosen{cause.id}};
    if (kit.answer("without", without)) did = Say{SetAside{cause.id, Aside::not_now}};
    if (const auto out = ways_out(state, kit)) did = out;
    kit.bar();
    if (back_button(kit)) did = Back{};
    kit.end_screen();
    return did;
}

} // namespace beckhand
