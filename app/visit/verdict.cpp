// What the figures say about the repair: proved, better but not yet right, or not it.
#include "app/visit/proof_figures.h"
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* proved_words = "Proved: the pump does again what it should.";
constexpr const char* better_words = "Better, but not yet right. Something more is wrong. The search goes on from here.";
constexpr const char* impossible_words =
    "Not proved: that is more water than this pump can lift. Go back, check the unit and measure again.";
constexpr const char* not_it_words = "This was not it. The search goes on from here.";
constexpr const char* keep_heading = "So that it does not come back";
constexpr const char* later_heading = "Look again";
constexpr const char* go_on = "Go on";

} // namespace

std::optional<Intent> verdict_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Cause& cause = pack.causes[state.scene.cause.value()];
    const ProofState proof = state.scene.proof.value_or(ProofState{});
    const Verdict verdict = proof.verdict.value_or(Verdict::not_it);
    begin_visit_screen(state, kit, "verdict");
    kit.side();
    draw_part(state, kit, cause.part, kit.metrics().wide ? 0.0f : kit.metrics().mm(30.0f));
    kit.main();
    say_taken_back(state, pack, kit);
    switch (verdict) {
        case Verdict::proved: kit.card(kit::Tone::good, cause.name, proved_words); break;
        case Verdict::better: kit.card(kit::Tone::watch, cause.name, proof.impossible ? impossible_words : better_words); break;
        case Verdict::not_it: kit.card(kit::Tone::unknown, cause.name, not_it_words); break;
    }
    if (proof.figures.empty()) kit.words(kit::Type::body, proof.words);
    proof_figures(state, pack, false, kit);
    if (verdict != Verdict::not_it) {
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
