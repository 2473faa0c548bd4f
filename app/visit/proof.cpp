// After the repair: measure again and look, before anybody calls it mended.
#include "app/figures.h"
#include "app/measuring/measuring_views.h"
#include "app/visit/proof_figures.h"
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* measure_again = "Measure again.";
constexpr const char* let_it_run = "Let it run ";
constexpr const char* again_after = "Again, after ";
constexpr const char* first = " first.";
constexpr const char* running = " running.";
constexpr const char* before = "Before";
constexpr const char* wanted_label = "Wanted";
constexpr const char* now = "Now";
constexpr const char* not_known = "not known";
constexpr const char* wanted_from = "Wanted: from ";
constexpr const char* how_heading = "How to measure";
constexpr const char* easy_slip = "Easy slip: ";
constexpr const char* cannot_measure = "Cannot measure";
constexpr const char* cannot_look = "Cannot look";

void wait_line(const Cause& cause, kit::Kit& kit) {
    if (cause.proof.wait_minutes <= 0) return;
    kit.words(kit::Type::body, let_it_run + minutes_text(cause.proof.wait_minutes) + first, kit::Tone::watch);
}

} // namespace

void proof_figures(const State& state, const Pack& pack, bool with_basis, kit::Kit& kit) {
    if (!state.scene.proof) return;
    for (const ProofFigure& figure : state.scene.proof->figures) {
        const Measurement* const measurement = find_measurement(pack, figure.measurement);
        if (!measurement) continue;
        const Figure kind = figure_of(*measurement);
        const auto text = [&](const std::optional<double>& si) {
            return si ? format_figure(kind, *si, state.units) : std::string(not_known);
        };
        kit.words(kit::Type::heading, measurement->name);
        const std::string was = before_words(*measurement, figure, state.units);
        kit.label_and_figure(before, was.empty() ? not_known : was);
        std::string wanted = text(figure.wanted_si);
        if (figure.least_si && figure.most_si) wanted = range_text(kind, *figure.least_si, *figure.most_si, state.units);
        kit.label_and_figure(wanted_label, wanted);
        if (figure.after_si) kit.label_and_figure(now, text(figure.after_si));
        if (with_basis && !figure.basis.empty()) kit.words(kit::Type::small, wanted_from + figure.basis + ".");
    }
}

std::optional<Intent> proof_measure_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const auto keep = [&did](const std::optional<Intent>& one) { if (one) did = one; };
    const Cause& cause = pack.causes[state.scene.cause.value()];
    const Measurement& measurement = pack.measurements[state.scene.measurement.value()];
    const auto how = [&] {
        keep(offer_help(kit, measurement.id));
        keep(care_tick(state, kit));
        if (kit.fold("how", how_heading, state.how_open, [&] {
                caution_cards(pack, kit, measurement.cautions);
                kit.words(kit::Type::body, measurement.how);
                if (!measurement.pitfalls.empty()) kit.words(kit::Type::body, easy_slip + measurement.pitfalls);
            })) {
            did = Unfold{Unfold::how};
        }
        proof_figures(state, pack, true, kit);
    };
    const bool wide = kit.metrics().wide;
    begin_visit_screen(state, kit, "proof_measure");
    kit.side();
    say_taken_back(state, pack, kit);
    // One line for both: the keys below it must stand in view whole.
    if (cause.proof.wait_minutes > 0) {
        kit.words(kit::Type::small, again_after + minutes_text(cause.proof.wait_minutes) + running, kit::Tone::watch);
    } else {
        kit.words(kit::Type::small, measure_again);
    }
    kit.words(wide ? kit::Type::question : kit::Type::heading, measurement.ask); // the keys below must stand in view
    mind_line(pack, kit, measurement.cautions);
    if (wide) how();
    kit.main();
    keep(measurement_keypad(state, pack, kit));
    if (!wide) how();
    keep(ways_out(state, kit));
    kit.bar();
    if (back_button(kit)) did = Back{};
    if (kit.bar_button("cannot", cannot_measure, kit::Slot::middle)) did = Say{NotMeasured{measurement.id}};
    kit.end_screen();
    return did;
}

std::optional<Intent> proof_look_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Cause& cause = pack.causes[state.scene.cause.value()];
    begin_visit_screen(state, kit, "proof_look");
    kit.side();
    draw_part(state, kit, cause.part, 0.0f);
    kit.main();
    say_taken_back(state, pack, kit);
    wait_line(cause, kit);
    kit.words(kit::Type::question, cause.proof.see);
    if (kit.answer("yes", "Yes")) did = Say{ProofSeen{cause.id, true}};
    opposite_gap(kit);
    if (kit.answer("no", "No")) did = Say{ProofSeen{cause.id, false}};
    if (const auto out = ways_out(state, kit)) did = out;
    kit.bar();
    if (back_button(kit)) did = Back{};
    if (kit.bar_button("cannot", cannot_look, kit::Slot::right)) did = Say{ProofNotSeen{cause.id}};
    kit.end_screen();
    return did;
}

} // namespace beckhand
