// One question: where to look, its answers, and on demand how to look, why, and what it looks like so far.
#include "app/visit/drawn.h"
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* how_heading = "How to look";
constexpr const char* easy_slip = "Easy slip: ";
constexpr const char* take = "Take:";
constexpr const char* why_words = "Why: ";
constexpr const char *not_sure = "I am not sure", *not_sure_short = "Not sure";
constexpr const char* say_again = "Say again";

/// In short: which causes it tells apart stands behind "More".
void say_why(const State& state, const Observation& observation, kit::Kit& kit) {
    const std::string words = (state.scene.offer.easier_than ? easier_words : "") + observation.why;
    if (!words.empty()) kit.words(kit::Type::small, why_words + words);
}

/// On a phone the answers would not be seen below the explanation: who never saw a pump opens it there, from the bar.
bool opened_from_bar(const State& state, const kit::Kit& kit) {
    return little_room(kit) && state.scene.visit.person == Person::newcomer && !state.aloud; // the bar says it again then
}

void how_words(const Pack& pack, const Observation& observation, kit::Kit& kit) {
    caution_cards(pack, kit, observation.cautions);
    kit.words(kit::Type::body, observation.look);
    if (!observation.slip.empty()) kit.words(kit::Type::body, easy_slip + observation.slip);
    list_line(kit, take, observation.tools);
}

/// Who never saw a pump is told how to look without asking for it, where the glass has room; a press turns that round.
bool how_is_open(const State& state, const kit::Kit& kit) {
    const bool by_itself = state.scene.visit.person == Person::newcomer && !opened_from_bar(state, kit);
    return state.how_open != by_itself;
}

std::optional<Intent> how_panel(const State& state, const Pack& pack, const Observation& observation, kit::Kit& kit) {
    const auto inside = [&] { how_words(pack, observation, kit); };
    if (kit.fold("how", how_heading, how_is_open(state, kit), inside)) return Unfold{Unfold::how};
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
    // The keeper's view is terse. Who never saw a pump reads how to look before the answers, on a phone once it is asked
    // for; a helper reads it in short. Both are told why.
    const Person person = state.scene.visit.person;
    const bool from_bar = opened_from_bar(state, kit),
               look_first = wide || (person == Person::newcomer && !from_bar);
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
    if (!wide && !little_room(kit)) say_doubt(state, kit);
    kit.words(kit::Type::question, observation.ask);
    if (!state.scene.before.empty()) kit.words(kit::Type::small, state.scene.before);
    mind_line(pack, kit, observation.cautions);
    if (person == Person::helper && !how_is_open(state, kit)) kit.words(kit::Type::body, observation.look);
    if (look_first && !wide) how_to_look();
    const bool shown_from_bar = from_bar && how_is_open(state, kit);
    if (shown_from_bar) how_words(pack, observation, kit);
    if (person != Person::keeper && (!from_bar || shown_from_bar)) say_why(state, observation, kit);
    const Answer* cannot = nullptr;
    for (const Answer& answer : observation.answers) {
        if (answer.cannot) cannot = &answer;
        else if (drawn_answer(kit, answer.id, answer.say, {observation.id, answer.id})) did = Say{Answered{observation.id, answer.id, false}};
    }
    if (!look_first && !from_bar) how_to_look();
    if (!wide) more();
    kit.bar();
    if (back_button(kit)) did = Back{};
    if (from_bar && kit.bar_button("how", how_heading, kit::Slot::middle)) did = Unfold{Unfold::how};
    if (state.aloud && kit.bar_button("say_again", say_again, kit::Slot::middle)) did = ReadAloud{};
    const char* const unsure = from_bar ? not_sure_short : not_sure;
    const std::string_view cannot_words = person == Person::keeper && cannot ? std::string_view(cannot->say) : unsure;
    if (cannot && kit.bar_button(cannot->id, cannot_words, kit::Slot::right)) {
        did = Say{Answered{observation.id, cannot->id, false}};
    }
    kit.end_screen();
    return did;
}

} // namespace beckhand
