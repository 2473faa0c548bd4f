// The choices. Each is saved as it is pressed.
#include "app/choices.h"

#include <utility>

#include "app/settings.h"

namespace beckhand {
namespace {

constexpr const char* title = "Choices";
constexpr const char* units_words = "Units";
constexpr const char* theme_words = "Light";
constexpr const char* scale_words = "Letters";
constexpr const char* by_words = "Who is at work (initials or role)";
constexpr const char* person_words = "Who answers here";
constexpr const char* aloud_words = "Read each question of a visit aloud";
constexpr const char* learning_words = "Learn from the repairs proved in this log";
constexpr const char* moved_heading = "Moved furthest by them";
constexpr std::size_t most_moved = 3;
constexpr const char* pack_words = "Knowledge";
constexpr std::pair<Person, const char*> all_persons[] = {
    {Person::keeper, "The keeper: knows this pump"},
    {Person::helper, "A helper: was shown how it works"},
    {Person::newcomer, "A newcomer: never saw such a pump"},
};
constexpr std::pair<Units, const char*> all_units[] = {
    {Units::metric, "Metres, litres, bar"},
    {Units::us, "Feet, US gallons, psi"},
};
constexpr std::pair<kit::Theme, const char*> all_themes[] = {
    {kit::Theme::paper, "Paper: for daylight"},
    {kit::Theme::dusk, "Dusk: warm on dark"},
    {kit::Theme::night, "Night: dim"},
};
constexpr std::pair<float, const char*> all_scales[] = {
    {1.0f, "Usual size"},
    {1.25f, "A quarter larger"},
    {1.5f, "Half as large again"},
};

/// Whether it learns, and what it has learned: shown also while it is off, so that one sees what it would change.
std::optional<Intent> learning_choice(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    if (kit.tick("learning", learning_words, state.learning)) did = SetLearning{!state.learning};
    kit.words(kit::Type::body, words_of(state.learned));
    const std::vector<std::string> lines = moved_lines(pack, state.learned, most_moved);
    if (!lines.empty()) kit.words(kit::Type::heading, moved_heading);
    for (const std::string& line : lines) kit.words(kit::Type::body, line);
    return did;
}

} // namespace

std::optional<Intent> choices_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.begin_screen("choices", title);
    kit.main();
    // The field stands on top, where a keyboard on the glass does not cover it.
    std::string by = state.by;
    if (kit.text_field("by", by_words, by)) did = SetBy{by};
    kit.words(kit::Type::heading, person_words);
    for (const auto& [person, words] : all_persons) {
        if (kit.answer("person_" + id_of(person), words, person == state.person)) did = SetPerson{person};
    }
    if (kit.tick("aloud", aloud_words, state.aloud)) did = SetAloud{!state.aloud};
    if (const auto learning = learning_choice(state, pack, kit)) did = learning;
    kit.words(kit::Type::heading, units_words);
    for (const auto& [units, words] : all_units) {
        if (kit.answer("units_" + id_of(units), words, units == state.units)) did = SetUnits{units};
    }
    kit.words(kit::Type::heading, theme_words);
    for (const auto& [theme, words] : all_themes) {
        if (kit.answer("theme_" + id_of(theme), words, theme == state.theme)) did = SetTheme{theme};
    }
    kit.words(kit::Type::heading, scale_words);
    for (const auto& [scale, words] : all_scales) {
        const bool chosen = id_of_text_scale(scale) == id_of_text_scale(state.text_scale);
        if (kit.answer("scale_" + id_of_text_scale(scale), words, chosen)) did = SetTextScale{scale};
    }
    kit.line();
    kit.label_and_figure(pack_words, "Pack " + pack.version + ", " + pack.issued);
    kit.bar();
    if (kit.bar_button("back", "Sites", kit::Slot::left)) did = Back{};
    kit.end_screen();
    return did;
}

} // namespace beckhand
