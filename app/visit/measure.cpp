// One figure: what to measure and how, the keypad, and a rough answer where a figure is out of reach.
#include "app/measuring/measuring_views.h"
#include "app/visit/drawn.h"
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* how_heading = "How to measure";
constexpr const char* easy_slip = "Easy slip: ";
constexpr const char* take = "Take:";
constexpr const char* roughly = "No way to measure it? Say it roughly: ";
constexpr const char* cannot_measure = "Cannot measure";

std::optional<Intent> how_panel(const State& state, const Pack& pack, const Measurement& measurement, kit::Kit& kit) {
    const auto inside = [&] {
        caution_cards(pack, kit, measurement.cautions);
        kit.words(kit::Type::body, measurement.how);
        if (!measurement.pitfalls.empty()) kit.words(kit::Type::body, easy_slip + measurement.pitfalls);
        list_line(kit, take, measurement.tools);
    };
    // Who never saw a pump is told without asking for it; a press turns that round.
    const bool open = state.how_open != (state.scene.visit.person == Person::newcomer);
    if (kit.fold("how", how_heading, open, inside)) return Unfold{Unfold::how};
    return std::nullopt;
}

} // namespace

std::optional<Intent> measure_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const auto keep = [&did](const std::optional<Intent>& one) { if (one) did = one; };
    const Measurement& measurement = pack.measurements[state.scene.measurement.value()];
    const bool wide = kit.metrics().wide;
    const bool helped = !wide && !ways_to(measurement.id).empty();
    begin_visit_screen(state, kit, "measure");
    kit.side();
    if (wide) {
        kit.words(kit::Type::question, measurement.ask);
        mind_line(pack, kit, measurement.cautions);
        keep(offer_help(kit, measurement.id));
        keep(how_panel(state, pack, measurement, kit));
        keep(more_panel(state, pack, kit));
        keep(care_tick(state, kit));
    }
    kit.main();
    say_taken_back(state, pack, kit);
    keep(answers_now(state, kit));
    if (!little_room(kit)) say_doubt(state, kit);   // on a phone the keys need the room
    if (!wide) {
        kit.words(kit::Type::question, measurement.ask);
        mind_line(pack, kit, measurement.cautions);
    }
    if (!state.scene.before.empty()) kit.words(kit::Type::small, state.scene.before);
    keep(measurement_keypad(state, pack, kit));
    if (!wide) {
        if (helped && kit.quiet("cannot", cannot_measure)) did = Say{NotMeasured{measurement.id}};
        keep(care_tick(state, kit));
        keep(how_panel(state, pack, measurement, kit));
        keep(more_panel(state, pack, kit));
    }
    if (state.scene.observation) {
        const Observation& observation = pack.observations[*state.scene.observation];
        kit.words(kit::Type::body, roughly + observation.ask);
        for (const Answer& answer : observation.answers) {
            if (!answer.cannot && drawn_answer(kit, "rough_" + answer.id, answer.say, {observation.id, answer.id})) {
                did = Say{Answered{observation.id, answer.id, false}};
            }
        }
    }
    kit.bar();
    if (back_button(kit)) did = Back{};
    // On a phone the help stands in the bar, where it is seen; the keys need the room above.
    if (helped) keep(help_in_bar(kit, measurement.id));
    else if (kit.bar_button("cannot", cannot_measure, kit::Slot::middle)) did = Say{NotMeasured{measurement.id}};
    kit.end_screen();
    return did;
}

} // namespace beckhand
