// A cause worth acting on: what it is, how sure, what speaks for and against it, and what else it may be.
#include "app/figures.h"
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* for_it_heading = "What speaks for it";
constexpr const char* against_heading = "What speaks against it";
constexpr const char* else_heading = "What else it may be";
constexpr const char* check_takes = "The check takes about ";
constexpr const char* fix_takes = ", the repair about ";
constexpr const char* check_this = "Check this";
constexpr const char* measure_now = "Measure now";
constexpr const char* repair_again = "Check and repair it again";
constexpr const char* ask_on = "Not this one, ask on";
constexpr const char* not_now = "Cannot do this now";

void reason_lines(kit::Kit& kit, const char* heading, const std::vector<Reason>& reasons) {
    if (reasons.empty()) return;
    kit.words(kit::Type::heading, heading);
    for (const Reason& reason : reasons) kit.words(kit::Type::body, reason.words + ": " + reason.strength + ".");
}

} // namespace

std::optional<Intent> finding_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Cause& cause = pack.causes[state.scene.cause.value()];
    const Reasons reasons = state.scene.reasons.value_or(Reasons{});
    begin_visit_screen(state, kit, "finding");
    kit.side();
    draw_part(state, kit, cause.part, kit.metrics().wide ? 0.0f : kit.metrics().mm(34.0f));
    kit.main();
    say_taken_back(state, pack, kit);
    if (const auto now = answers_now(state, kit)) did = now;
    say_doubt(state, kit);
    kit.words(kit::Type::small, standing_of(pack, state.scene.visit, state.scene.offer, *state.scene.cause, reasons) + ".");
    kit.words(kit::Type::question, cause.name);
    kit.words(kit::Type::body, cause.say);
    reason_lines(kit, for_it_heading, reasons.for_it);
    reason_lines(kit, against_heading, reasons.against_it);
    if (!reasons.how_common.empty()) kit.words(kit::Type::body, reasons.how_common);
    if (!reasons.second.empty()) {
        kit.words(kit::Type::heading, else_heading);
        kit.words(kit::Type::body, reasons.second);
    }
    doubt_lines(state, kit);
    kit.words(kit::Type::body, check_takes + minutes_text(cause.check.minutes) + fix_takes +
                                   minutes_text(cause.fix.minutes) + ".");
    const bool repaired = state.scene.visit.unproved(cause.id) != nullptr;
    kit.line();
    if (kit.quiet("ask_on", ask_on)) did = Say{SetAside{cause.id, Aside::doubted}};
    if (kit.quiet("not_now", not_now)) did = Say{SetAside{cause.id, Aside::not_now}};
    if (repaired && kit.quiet("repair_again", repair_again)) did = Say{FixChosen{cause.id}};
    if (const auto out = ways_out(state, kit)) did = out;
    kit.bar();
    if (back_button(kit)) did = Back{};
    if (repaired) {
        if (kit.bar_button("measure_now", measure_now, kit::Slot::right, true, true)) did = Say{FixFinished{cause.id}};
    } else if (kit.bar_button("check_this", check_this, kit::Slot::right, true, true)) {
        did = Say{FixChosen{cause.id}};
    }
    kit.end_screen();
    return did;
}

} // namespace beckhand
