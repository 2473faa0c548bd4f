// Choices as words in the log.
#include "app/settings.h"

#include <array>
#include <cmath>
#include <optional>

namespace beckhand {
namespace {

constexpr std::array all_units{Units::metric, Units::us};
constexpr std::array all_themes{kit::Theme::paper, kit::Theme::dusk, kit::Theme::night};
constexpr std::array all_scales{1.0f, 1.25f, 1.5f};

template <class Value, std::size_t N, class Spell>
void choose(Value& chosen, const std::array<Value, N>& all, const std::string& word, Spell spell) {
    for (const Value& value : all) {
        if (spell(value) == word) chosen = value;
    }
}

} // namespace

std::string id_of(Units units) { return units == Units::metric ? "metric" : "us"; }

std::string id_of(kit::Theme theme) {
    switch (theme) {
        case kit::Theme::paper: return "paper";
        case kit::Theme::dusk: return "dusk";
        case kit::Theme::night: return "night";
    }
    return "";
}

std::string id_of_text_scale(float scale) { return std::to_string(std::lround(scale * 100.0f)); }

Result<Settings> read_settings(const Store& store) {
    Settings settings;
    for (const char* const key : {units_key, theme_key, text_scale_key, by_key}) {
        const Result<std::optional<std::string>> kept = store.setting(key);
        if (!kept) return kept.error();
        if (!*kept) continue;
        const std::string& word = **kept;
        if (key == units_key) choose(settings.units, all_units, word, [](Units u) { return id_of(u); });
        if (key == theme_key) choose(settings.theme, all_themes, word, [](kit::Theme t) { return id_of(t); });
        if (key == text_scale_key) choose(settings.text_scale, all_scales, word, id_of_text_scale);
        if (key == by_key) settings.by = word;
    }
    return settings;
}

} // namespace beckhand
