// One question: where to look, its answers, and on demand how to look, why, and what it looks like so far.
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* how_heading = "How to look";
constexpr const char* easy_slip = "Easy slip: ";
constexpr const char* take = "Take:";

std::optional<Intent> how_panel(const State& state, const Pack& pack, const Observation& observation, kit::Kit& kit) {
    const auto inside = [&] {
        caution_cards(pack, kit, observation.cautions);
        kit.words(kit::Type::body, observation.look);
        if (!observation.slip.empty()) kit.words(kit::Type::body, easy_slip + observation.slip);
        list_line(kit, take, observation.tools);
    };
    if (kit.fold("how", how_heading, state.how_open, inside)) return Unfold{Unfold::how};
    return std::nullopt;
}

} // namespace

std::optional<Intent> question_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const Observation& observation = pack.observations[state.scene.observation.value()];
    const bool wide = kit.metrics().wide;
    begin_visit_screen(state, kit, "question");
    kit.side();
    if (wide) say_doubt(state, kit); // beside the answers, which it would push away
    draw_part(state, kit, observation.part, 0.0f);   // on a phone where the answers leave room for it
    // Who never saw a pump reads how to look before the answers, on a narrow screen too.
    const bool look_first = wide || state.scene.visit.person == Person::newcomer;
    const auto how_to_look = [&] {
        if (const auto how = how_panel(state, pack, observation, kit)) did = how;
    };
    const auto more = [&] {
        if (const auto out = more_panel(state, pack, kit)) did = out;
    };
    if (wide) how_to_look(), more();
    kit.main();
    say_taken_back(state, pack, kit);
    if (const auto now = answers_now(state, kit)) did = now;
    if (!wide) say_doubt(state, kit);
    kit.words(kit::Type::question, observation.ask);
    if (!state.scene.before.empty()) kit.words(kit::Type::small, state.scene.before);
    mind_line(pack, kit, observation.cautions);
    if (look_first && !wide) how_to_look();
    const Answer* cannot = nullptr;
    for (const Answer& answer : observation.answers) {
        if (answer.cannot) cannot = &answer;
        else if (kit.answer(answer.id, answer.say)) did = Say{Answered{observation.id, answer.id, false}};
    }
    if (!look_first) how_to_look();
    if (!wide) more();
    kit.bar();
    if (back_button(kit)) did = Back{};
    if (cannot && kit.bar_button(cannot->id, cannot->say, kit::Slot::right)) {
        did = Say{Answered{observation.id, cannot->id, false}};
    }
    kit.end_screen();
    return did;
}

} // namespace beckhand
