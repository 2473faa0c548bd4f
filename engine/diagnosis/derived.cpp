#include "engine/diagnosis/derived.h"

#include <algorithm>
#include <cmath>

namespace beckhand {
namespace {

// What a site sheet is worth as a reading when nobody measured again: levels and lengths taken once, with
// ordinary care (common practice; the careful and the sloppy figures of the pack lie on either side).
constexpr double sheet_error = 0.03;

// Where the old yield table itself promises less than this, a good ratio to it proves nothing: the most
// that is said of such a site is "poor" (common practice).
constexpr double table_too_low = 0.15;
constexpr double poor_at_best = 0.45;

constexpr double nothing_delivered_share = 0.02; // of the expected flow: a drip is not a delivery

void add_sheet(Readings& readings, const std::string& id, const std::optional<Length>& figure) {
    if (figure && readings.count(id) == 0) {
        readings[id] = {figure->si(), sheet_error * figure->si()};
    }
}

std::optional<Reading> reading(const Readings& readings, const std::string& id) {
    const auto found = readings.find(id);
    if (found == readings.end() || !std::isfinite(found->second.value)) {
        return std::nullopt;
    }
    return found->second;
}

std::optional<Reading> drive_flow(const Readings& readings) {
    if (const auto measured = reading(readings, "D")) {
        return measured;
    }
    const auto waste = reading(readings, "W");
    const auto delivered = reading(readings, "Q");
    if (!waste || !delivered) {
        return std::nullopt;
    }
    return Reading{waste->value + delivered->value, std::hypot(waste->sigma, delivered->sigma)};
}

/// One standard deviation of an expected figure, from its band: taken as the 5 % and 95 % points.
template <class Q>
double spread(const Expected<Q>& expected) {
    return (expected.most - expected.least).si() / (2 * 1.645);
}

double relative(const Reading& r) { return r.value == 0 ? 0 : r.sigma / r.value; }

template <class Q>
std::optional<Derived> ratio_to(const std::optional<Reading>& found, const std::optional<Expected<Q>>& wanted,
                                Figure kind, Units units) {
    if (!found || !wanted || wanted->likely.si() <= 0 || found->value < 0) {
        return std::nullopt;
    }
    const double value = found->value / wanted->likely.si();
    const double sigma = std::hypot(found->sigma / wanted->likely.si(),
                                    value * spread(*wanted) / wanted->likely.si());
    return Derived{value, sigma,
                   format_figure(kind, found->value, units) + " against " +
                       format_figure(kind, wanted->likely.si(), units)};
}

std::optional<Derived> waste_ratio(const Readings& readings, const Expectation& expected, Units units) {
    auto ratio = ratio_to(reading(readings, "W"), expected.waste, Figure::flow, units);
    const auto delivered = reading(readings, "Q");
    if (ratio && delivered && expected.delivered && ratio->value > 0.05 &&
        delivered->value < nothing_delivered_share * expected.delivered->likely.si()) {
        return Derived{all_is_wasted, 0, "nothing is delivered, all of it is wasted"};
    }
    return ratio;
}

std::optional<Derived> yield_to_table(const Readings& readings, const Expectation& expected) {
    const auto delivered = reading(readings, "Q");
    const auto drive = drive_flow(readings);
    const auto lift = reading(readings, "Lift");
    const auto fall = reading(readings, "H");
    if (!delivered || !drive || !lift || !fall || !expected.table_yield || drive->value <= 0 ||
        fall->value <= 0 || delivered->value < 0) {
        return std::nullopt;
    }
    const double yield = delivered->value * lift->value / (drive->value * fall->value);
    const double table = std::max(*expected.table_yield, 0.01);
    double value = yield / table;
    if (*expected.table_yield < table_too_low) {
        value = std::min(value, poor_at_best);
    }
    const double sigma = value * std::sqrt(std::pow(relative(*delivered), 2) + std::pow(relative(*drive), 2) +
                                           std::pow(relative(*lift), 2) + std::pow(relative(*fall), 2));
    return Derived{value, sigma,
                   "yield " + significant_text(yield, 2) + " against " + significant_text(table, 2) +
                       " in the table"};
}

std::optional<Derived> pressure_ratio(const Readings& readings, const std::string& id,
                                      const Expectation& expected, Units units) {
    const auto found = reading(readings, id);
    if (!found || !expected.pressure_stopped || expected.pressure_stopped->si() <= 0) {
        return std::nullopt;
    }
    const double wanted = expected.pressure_stopped->si();
    return Derived{found->value / wanted, std::hypot(found->sigma, sheet_error * wanted) / wanted,
                   format_figure(Figure::pressure, found->value, units) + " against " +
                       format_figure(Figure::pressure, wanted, units) + " from the lift"};
}

double below(double edge, const Derived& figure) {
    if (figure.sigma <= 0) {
        return figure.value < edge ? 1 : 0;
    }
    return 0.5 * std::erfc((figure.value - edge) / (figure.sigma * std::sqrt(2.0)));
}

template <class Q>
std::optional<Expected<double>> in_si(const std::optional<Expected<Q>>& expected) {
    if (!expected) {
        return std::nullopt;
    }
    return Expected<double>{expected->least.si(), expected->likely.si(), expected->most.si(), expected->basis};
}

} // namespace

double error_of(const Measurement& how, double value, Care care) {
    const bool careful = care == Care::careful;
    const double relative = careful ? how.careful_relative : how.sloppy_relative;
    const double absolute = careful ? how.careful_absolute : how.sloppy_absolute;
    return std::max(relative * std::abs(value), absolute);
}

double error_of(const Measurement& how, const Measured& taken) {
    return std::max(error_of(how, taken.value_si, taken.care), taken.error_si);
}

std::optional<Expected<double>> wanted_figure(std::string_view measurement, const Expectation& expected) {
    if (measurement == "Q") return in_si(expected.delivered);
    if (measurement == "W") return in_si(expected.waste);
    if (measurement == "D") return in_si(expected.drive_flow);
    if (measurement == "B") return in_si(expected.beat);
    if (measurement == "Pr") return in_si(expected.pressure_running);
    if (measurement == "Ps" && expected.pressure_stopped) {
        const double likely = expected.pressure_stopped->si();
        // The band of the plain checks: within 8 % (common practice).
        return Expected<double>{0.92 * likely, likely, 1.08 * likely, "the height of the delivery pipe"};
    }
    return std::nullopt;
}

Readings readings_of(const Pack& pack, const Site& site, const std::map<std::string, Measured>& measured) {
    Readings readings;
    for (const auto& [id, taken] : measured) {
        const Measurement* how = find_measurement(pack, id);
        if (how != nullptr && std::isfinite(taken.value_si)) {
            readings[id] = {taken.value_si, error_of(*how, taken)};
        }
    }
    add_sheet(readings, "H", site.fall);
    add_sheet(readings, "Lift", site.lift);
    add_sheet(readings, "Ld", site.drive_length);
    add_sheet(readings, "Db", site.drive_bore);
    add_sheet(readings, "Le", site.delivery_length);
    add_sheet(readings, "De", site.delivery_bore);
    return readings;
}

const std::vector<std::string>& derived_quantities() {
    static const std::vector<std::string> names = {
        "fall_m",     "lift_ratio",     "water_temp_c", "drive_flow_ratio", "waste_ratio",
        "beat_ratio", "yield_to_table", "static_ratio", "running_ratio"};
    return names;
}

std::optional<Derived> derive(std::string_view quantity, const Readings& readings, const Expectation& expected,
                              Units units) {
    if (quantity == "fall_m") {
        const auto fall = reading(readings, "H");
        return fall ? std::optional(Derived{fall->value, fall->sigma,
                                            format_figure(Figure::length, fall->value, units)})
                    : std::nullopt;
    }
    if (quantity == "lift_ratio") {
        const auto lift = reading(readings, "Lift");
        const auto fall = reading(readings, "H");
        if (!lift || !fall || fall->value <= 0) {
            return std::nullopt;
        }
        const double value = lift->value / fall->value;
        return Derived{value, value * std::hypot(relative(*lift), relative(*fall)),
                       "lift " + significant_text(value, 2) + " times the fall"};
    }
    if (quantity == "water_temp_c") {
        const auto water = reading(readings, "T");
        return water ? std::optional(Derived{water->value, water->sigma,
                                             format_figure(Figure::temperature, water->value, units)})
                     : std::nullopt;
    }
    if (quantity == "drive_flow_ratio") {
        return ratio_to(drive_flow(readings), expected.drive_flow, Figure::flow, units);
    }
    if (quantity == "waste_ratio") {
        return waste_ratio(readings, expected, units);
    }
    if (quantity == "beat_ratio") {
        const auto beat = reading(readings, "B");
        // A pump that does not beat has no beat to compare: how it rests is another observation.
        return beat && beat->value > 0 ? ratio_to(beat, expected.beat, Figure::beat, units) : std::nullopt;
    }
    if (quantity == "yield_to_table") {
        return yield_to_table(readings, expected);
    }
    if (quantity == "static_ratio") {
        return pressure_ratio(readings, "Ps", expected, units);
    }
    if (quantity == "running_ratio") {
        return pressure_ratio(readings, "Pr", expected, units);
    }
    return std::nullopt;
}

std::vector<double> band_chances(const Bands& bands, const Derived& figure) {
    std::vector<double> chances;
    double reached = 0;
    for (const double edge : bands.edges) {
        const double share = below(edge, figure);
        chances.push_back(std::max(share - reached, 0.0));
        reached = std::max(share, reached);
    }
    chances.push_back(1 - reached);
    return chances;
}

} // namespace beckhand
