// The table itself, and the exact way between a quantity and the number that a file shows.
#include "engine/records/site_fields.h"

#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <type_traits>
#include <utility>

namespace beckhand {
namespace {

double si_of(Celsius water) {
    return water.degrees;
}
template <int M, int L, int T>
double si_of(Quantity<M, L, T> quantity) {
    return quantity.si();
}

void from_si(Celsius& water, double number) {
    water.degrees = number;
}
template <int M, int L, int T>
void from_si(Quantity<M, L, T>& quantity, double number) {
    quantity = Quantity<M, L, T>::from_si(number);
}

template <auto Member>
std::optional<double> get(const Site& site) {
    if (const auto& held = site.*Member)
        return si_of(*held);
    return std::nullopt;
}
template <auto Member>
void set(Site& site, std::optional<double> number) {
    auto& held = site.*Member;
    held.reset();
    if (number)
        from_si(held.emplace(), *number);
}
template <auto Member>
std::optional<double> get_record(const Site& site) {
    if (const auto& held = site.record.*Member)
        return si_of(*held);
    return std::nullopt;
}
template <auto Member>
void set_record(Site& site, std::optional<double> number) {
    auto& held = site.record.*Member;
    held.reset();
    if (number)
        from_si(held.emplace(), *number);
}

// The unit is asked for as a typed Unit, so that a length in bar does not compile.
template <auto Member, int M, int L, int T>
constexpr SiteField figure(std::string_view key, Unit<M, L, T> unit, std::string_view words, double least,
                           double most) {
    using Held = std::remove_reference_t<decltype(std::declval<Site&>().*Member)>;
    static_assert(std::is_same_v<Held, std::optional<Quantity<M, L, T>>>, "the unit is not this field's");
    return {key, false, words, least, most, unit.si_per_unit, &get<Member>, &set<Member>};
}
template <auto Member, int M, int L, int T>
constexpr SiteField record_figure(std::string_view key, Unit<M, L, T> unit, std::string_view words,
                                  double least, double most) {
    using Held = std::remove_reference_t<decltype(std::declval<HealthyRecord&>().*Member)>;
    static_assert(std::is_same_v<Held, std::optional<Quantity<M, L, T>>>, "the unit is not this field's");
    return {key, true, words, least, most, unit.si_per_unit, &get_record<Member>, &set_record<Member>};
}

// The ranges only catch slips of unit or finger (common practice, set wide on purpose); whether a site
// is a good one is the site check's to say.
constexpr std::array fields{
    figure<&Site::fall>("fall_m", metres, "fall: water level down to the waste valve, metres", 0.1, 100),
    figure<&Site::lift>("lift_m", metres, "lift: waste valve up to the delivery outlet, metres", 0.1, 500),
    figure<&Site::drive_length>("drive_length_m", metres, "drive pipe: length along the pipe, metres", 0.5,
                                500),
    figure<&Site::drive_bore>("drive_bore_mm", millimetres, "drive pipe: bore, millimetres", 5, 1000),
    figure<&Site::drive_wall>("drive_wall_mm", millimetres, "drive pipe: wall thickness, millimetres", 0.3,
                              50),
    figure<&Site::pump_bore>("pump_bore_mm", millimetres, "pump: bore of the inlet, millimetres", 5, 1000),
    figure<&Site::delivery_length>("delivery_length_m", metres,
                                   "delivery pipe: length along the pipe, metres", 0.5, 50000),
    figure<&Site::delivery_bore>("delivery_bore_mm", millimetres, "delivery pipe: bore, millimetres", 3,
                                 1000),
    figure<&Site::delivery_summit>("delivery_summit_m", metres,
                                   "delivery pipe: its highest point above the waste valve, metres", 0, 600),
    figure<&Site::source_flow>("source_flow_lpm", litres_per_minute,
                               "source: the least it gives, litres a minute", 0.1, 100000),
    figure<&Site::vessel_volume>("vessel_volume_l", litres, "air vessel: volume, litres", 0.01, 5000),
    figure<&Site::snifter_hole>("snifter_hole_mm", millimetres, "snifter: bore of its hole, millimetres", 0.2, 20),
    figure<&Site::drive_rating>("drive_rating_bar", bar, "drive pipe: pressure it is rated for, bar", 0.5,
                                400),
    SiteField{"water_temp_c", false, "water: temperature, degrees Celsius", 0, 60, 1.0, &get<&Site::water>,
              &set<&Site::water>},
    figure<&Site::altitude>("altitude_m", metres, "site: height above the sea, metres", -450, 6000),
    record_figure<&HealthyRecord::beat>("beat_per_min", beats_per_minute, "healthy record: beats a minute", 2,
                                        600),
    record_figure<&HealthyRecord::waste>("waste_flow_lpm", litres_per_minute,
                                         "healthy record: waste flow, litres a minute", 0.01, 100000),
    record_figure<&HealthyRecord::delivered>("delivered_flow_lpm", litres_per_minute,
                                             "healthy record: delivered flow at the tank, litres a minute", 0,
                                             50000),
    record_figure<&HealthyRecord::running>(
        "running_pressure_bar", bar,
        "healthy record: vessel pressure while running, middle of the swing, bar", 0, 400),
};

std::string material_text(const Site& site) {
    return site.drive_material ? std::string(id_of(*site.drive_material)) : std::string();
}
bool set_material(Site& site, const std::string& text) {
    site.drive_material = pipe_material(text);
    return text.empty() || site.drive_material.has_value();
}
std::string hemisphere_text(const Site& site) {
    return site.hemisphere ? std::string(id_of(*site.hemisphere)) : std::string();
}
bool set_hemisphere(Site& site, const std::string& text) {
    site.hemisphere = hemisphere_of(text);
    return text.empty() || site.hemisphere.has_value();
}
template <auto Member>
std::string get_text(const Site& site) {
    return site.*Member;
}
template <auto Member>
bool set_text(Site& site, const std::string& text) {
    site.*Member = text;
    return true;
}

constexpr std::array texts{
    SiteText{"name", "the site's name", &get_text<&Site::name>, &set_text<&Site::name>},
    SiteText{"access", "how to get there, dangers on the way", &get_text<&Site::access>,
             &set_text<&Site::access>},
    SiteText{"call", "who to call when it goes wrong", &get_text<&Site::call>, &set_text<&Site::call>},
    SiteText{"drive_material",
             "drive pipe: material, one of steel, cast_iron, copper, rigid_plastic, soft_plastic",
             &material_text, &set_material},
    SiteText{"hemisphere", "half of the earth, for the seasons: one of north, south", &hemisphere_text, &set_hemisphere},
};

std::string plain(double number) {
    std::array<char, 40> text{};
    std::snprintf(text.data(), text.size(), "%.6g", number);
    return text.data();
}

} // namespace

std::span<const SiteField> site_fields() {
    return fields;
}
std::span<const SiteText> site_texts() {
    return texts;
}

std::optional<double> field_number(const SiteField& field, const Site& site) {
    const std::optional<double> si = field.si(site);
    if (!si)
        return std::nullopt;
    const double nearest = *si / field.si_per_unit;
    // Decimal text through the C library is safe here: both ways use the same locale.
    std::array<char, 40> text{};
    for (int digits = 3; digits <= 17; ++digits) {
        std::snprintf(text.data(), text.size(), "%.*g", digits, nearest);
        const double candidate = std::strtod(text.data(), nullptr);
        if (candidate * field.si_per_unit == *si)
            return candidate;
    }
    for (const double towards :
         {-std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()}) {
        const double neighbour = std::nextafter(nearest, towards);
        if (neighbour * field.si_per_unit == *si)
            return neighbour;
    }
    return nearest;
}

void set_field_number(const SiteField& field, Site& site, double number) {
    field.set_si(site, number * field.si_per_unit);
}

std::optional<Problem> field_problem(const SiteField& field, double number) {
    if (std::isfinite(number) && number >= field.least && number <= field.most)
        return std::nullopt;
    return Problem{std::string(field.key),
                   (std::isfinite(number) ? plain(number) : std::string("This")) + " cannot be right for \"" +
                       std::string(field.words) + "\".",
                   "Give a number from " + plain(field.least) + " to " + plain(field.most) +
                       ", in the unit named, or leave it out if nobody has measured it."};
}

std::string figures_key(const Site& site) {
    std::string key = site.drive_material ? std::string(id_of(*site.drive_material)) : "";
    for (const SiteField& field : site_fields()) {
        const std::optional<double> si = field.si(site);
        key += ' ' + (si ? std::to_string(*si * 1e9) : "-");
    }
    return key;
}

Outcome check_plausible(const Site& site) {
    for (const SiteField& field : site_fields()) {
        const std::optional<double> number = field_number(field, site);
        if (!number)
            continue;
        if (const std::optional<Problem> problem = field_problem(field, *number))
            return *problem;
    }
    return Done{};
}

} // namespace beckhand
