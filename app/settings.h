// The choices that are kept between starts, and their spelling in the log.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "app/kit/kit.h"
#include "engine/quantity/text.h"
#include "engine/records/store.h"

namespace beckhand {

inline constexpr std::string_view default_by = "keeper";

struct Settings {
    Units units = Units::metric;
    kit::Theme theme = kit::Theme::paper;
    float text_scale = 1.0f;
    std::string by{default_by};
    Person person = Person::keeper;   // who answers
    bool learning = true;             // whether proved repairs of this log move how common causes are
    bool aloud = false;               // whether a visit is read aloud
};

/// What is missing or not understood keeps its first value; fails only where the log cannot be read.
[[nodiscard]] Result<Settings> read_settings(const Store& store);

// Keys and values as kept.
inline constexpr const char* units_key = "units";
inline constexpr const char* theme_key = "theme";
inline constexpr const char* text_scale_key = "text_scale";
inline constexpr const char* by_key = "by";
inline constexpr const char* person_key = "person";
inline constexpr const char* learning_key = "learning";
inline constexpr const char* aloud_key = "aloud";
[[nodiscard]] std::string id_of(Units units);
[[nodiscard]] std::string id_of(kit::Theme theme);
[[nodiscard]] std::string id_of_text_scale(float scale);   // "100", "125", "150": per cent
[[nodiscard]] std::string id_of(Person person);
[[nodiscard]] std::string id_of_switch(bool on);           // "on", "off"
/// By its spelling; nothing where there is no such person.
[[nodiscard]] std::optional<Person> person_of(std::string_view word);

} // namespace beckhand
