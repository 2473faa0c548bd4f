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
constexpr const char* pack_words = "Knowledge";
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

} // namespace

std::optional<Intent> choices_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.begin_screen("choices", title);
    kit.main();
    // The field stands on top, where a keyboard on the glass does not cover it.
    std::string by = state.by;
    if (kit.text_field("by", by_words, by)) did = SetBy{by};
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
