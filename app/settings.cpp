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
constexpr std::array all_persons{Person::keeper, Person::helper, Person::newcomer};
constexpr std::array on_and_off{true, false};

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

std::string id_of(Person person) {
    switch (person) {
        case Person::keeper: return "keeper";
        case Person::helper: return "helper";
        case Person::newcomer: return "newcomer";
    }
    return "";
}

std::string id_of_switch(bool on) { return on ? "on" : "off"; }

std::optional<Person> person_of(std::string_view word) {
    for (const Person person : all_persons) {
        if (id_of(person) == word) return person;
    }
    return std::nullopt;
}

Result<Settings> read_settings(const Store& store) {
    Settings settings;
    for (const char* const key : {units_key, theme_key, text_scale_key, by_key, person_key, learning_key, aloud_key}) {
        const Result<std::optional<std::string>> kept = store.setting(key);
        if (!kept) return kept.error();
        if (!*kept) continue;
        const std::string& word = **kept;
        if (key == units_key) choose(settings.units, all_units, word, [](Units u) { return id_of(u); });
        if (key == theme_key) choose(settings.theme, all_themes, word, [](kit::Theme t) { return id_of(t); });
        if (key == text_scale_key) choose(settings.text_scale, all_scales, word, id_of_text_scale);
        if (key == by_key) settings.by = word;
        if (key == person_key) settings.person = person_of(word).value_or(settings.person);
        if (key == learning_key) choose(settings.learning, on_and_off, word, id_of_switch);
        if (key == aloud_key) choose(settings.aloud, on_and_off, word, id_of_switch);
    }
    return settings;
}

} // namespace beckhand
