// The one table of a site's figures and words: key, unit, plain words, plausible range, and how to read
// and set each. The log's JSON, the case files' TOML and a site form all walk it, so that a new field of
// Site is one new line in site_fields.cpp.
//
//     for (const SiteField& field : site_fields())
//         if (auto number = field_number(field, site)) write(field.key, *number);   // in the key's unit
//
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "engine/hydraulics/site.h"
#include "engine/problem.h"

namespace beckhand {

/// A figure of a site. All numbers but `si` are in the unit that the key ends with.
struct SiteField {
    std::string_view key;       // "fall_m"
    bool in_record = false;     // one of the healthy record: files keep these in a part named "record"
    std::string_view words;     // "fall: water level down to the waste valve, metres"
    double least = 0, most = 0; // plausible, both ends included; outside of it is a slip of unit or finger
    double si_per_unit = 1;
    std::optional<double> (*si)(const Site&) = nullptr;
    void (*set_si)(Site&, std::optional<double>) = nullptr;
};

/// Words of a site: its name, the way to it, the drive pipe's material.
struct SiteText {
    std::string_view key;
    std::string_view words;
    std::string (*text)(const Site&) = nullptr;            // empty when not known
    bool (*set_text)(Site&, const std::string&) = nullptr; // false: not one of the words allowed here
};

[[nodiscard]] std::span<const SiteField> site_fields();
[[nodiscard]] std::span<const SiteText> site_texts();

/// The figure in the key's unit: the shortest number that set_field_number turns into the same quantity,
/// bit for bit, so 50 mm is written as 50 and not as 50.000000000000007. A quantity made in another unit
/// may have no such number; then the nearest, within one part in 10^15.
[[nodiscard]] std::optional<double> field_number(const SiteField&, const Site&);
void set_field_number(const SiteField&, Site&, double number);

/// What is wrong with a number for this field, or nothing. Not finite or out of the plausible range.
[[nodiscard]] std::optional<Problem> field_problem(const SiteField&, double number);

/// Tells one set of figures, material included, from another. Names and words do not move water.
[[nodiscard]] std::string figures_key(const Site&);

/// The first figure of the site that is not plausible, as a Problem.
[[nodiscard]] Outcome check_plausible(const Site&);

} // namespace beckhand
