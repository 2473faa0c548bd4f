// What the figures say about the repair: proved, better but not yet right, not it, or not proved yet.
#include <algorithm>

#include "app/visit/proof_figures.h"
#include "app/visit/visit_views.h"
#include "engine/diagnosis/steps.h"

namespace beckhand {
namespace {

constexpr const char* proved_words = "Proved: the pump does again what it should.";
constexpr const char* better_words = "Better, but not yet right. Something more is wrong. The search goes on from here.";
constexpr const char* impossible_words =
    "Not proved: that is more water than this pump can lift. Go back, check the unit and measure again.";
constexpr const char* looks_right_words =
    "It looks right, but no figure proves it yet. The search goes on from here; measure when you can.";
constexpr const char* nothing_told_words =
    "Not proved yet: nothing was measured or looked at after the repair. It stays open; measure when you can.";
constexpr const char* all_skipped_words = "Not proved: every step was skipped, so nothing was mended yet.";
constexpr const char* not_finished_words = "Better, but the repair is not finished: ";
constexpr const char* not_finished_end = " left. It counts as not proved yet. Finish it, then measure again.";
constexpr const char* not_it_words = "This was not it. The search goes on from here.";
constexpr const char* keep_heading = "So that it does not come back";
constexpr const char* later_heading = "Look again";
constexpr const char* go_on = "Go on";

bool any_figure(const ProofState& proof) {
    return std::any_of(proof.figures.begin(), proof.figures.end(),
                       [](const ProofFigure& figure) { return figure.after_si.has_value(); });
}

std::string not_proved_words(const State& state, const ProofState& proof) {
    if (proof.impossible) return impossible_words;
    if (!proof.open_steps.empty()) return not_finished_words + steps_named(proof.open_steps) + not_finished_end;
    const Attempt* const attempt = state.scene.visit.current_attempt();
    return attempt && !attempt->repaired() ? all_skipped_words : nothing_told_words;
}

} // namespace

std::optional<Intent> verdict_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Cause& cause = pack.causes[state.scene.cause.value()];
    const ProofState proof = state.scene.proof.value_or(ProofState{});
    const Verdict verdict = proof.verdict.value_or(Verdict::not_proved);
    begin_visit_screen(state, kit, "verdict");
    kit.side();
    draw_part(state, kit, cause.part, kit.metrics().wide ? 0.0f : kit.metrics().mm(30.0f));
    kit.main();
    say_taken_back(state, pack, kit);
    switch (verdict) {
        case Verdict::proved: kit.card(kit::Tone::good, cause.name, proved_words); break;
        case Verdict::better:
            kit.card(kit::Tone::watch, cause.name, any_figure(proof) ? better_words : looks_right_words);
            break;
        case Verdict::not_it: kit.card(kit::Tone::unknown, cause.name, not_it_words); break;
        case Verdict::not_proved: kit.card(kit::Tone::watch, cause.name, not_proved_words(state, proof)); break;
    }
    if (proof.figures.empty()) kit.words(kit::Type::body, proof.words);
    proof_figures(state, pack, false, kit);
    if (verdict == Verdict::proved || verdict == Verdict::better) {
        if (!cause.fix.keep.empty()) kit.card(kit::Tone::plain, keep_heading, cause.fix.keep);
        if (!cause.proof.later.empty()) kit.card(kit::Tone::plain, later_heading, cause.proof.later);
    }
    kit.bar();
    if (back_button(kit)) did = Back{};
    if (kit.bar_button("go_on", go_on, kit::Slot::right, true, true)) did = Say{Judged{cause.id, verdict}};
    kit.end_screen();
    return did;
}

} // namespace beckhand
