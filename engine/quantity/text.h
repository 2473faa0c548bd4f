// Figures as people read and type them, in metric or US customary units. Printing keeps three significant
// figures and drops trailing zeros; reading takes what a wet hand types: "12,5", "5 1/2 gal", "2 ft 3 in".
// Nothing here depends on the locale of the machine.
//
//     format_flow(litres_per_minute(12.5), Units::us)        "3.3 gal/min"
//     parse_length("2 ft 3 in", Units::metric)               0.6858 m
//     parse_pressure("0.8", Units::metric)                   0.8 bar: a bare number is in the shown unit
#pragma once

#include <string>
#include <string_view>

#include "engine/problem.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

enum class Units { metric, us };

/// The kinds of figure that the program shows, each with one unit in each system:
///   length       m       ft          heights and pipe lengths
///   bore         mm      in          bores and wall thicknesses
///   flow         L/min   gal/min
///   day_flow     L/day   gal/day
///   pressure     bar     psi
///   volume       L       gal         US gallons
///   temperature  degC    degF
///   beat         beats a minute in both
///   duration     s in both; long ones print as "12 min 30 s"
///   speed        m/s     ft/s
enum class Figure { length, bore, flow, day_flow, pressure, volume, temperature, beat, duration, speed };

/// "L/min", "ft", "°C": the unit a figure of this kind is shown and typed in.
[[nodiscard]] std::string_view unit_word(Figure kind, Units units);

/// The number to show beside unit_word(). `si` is the SI value; for a temperature it is degrees Celsius.
[[nodiscard]] double number_in(Figure kind, double si, Units units);

/// "12.5", for an entry field: number_in() to so many significant figures, no unit.
[[nodiscard]] std::string format_number(Figure kind, double si, Units units, int figures = 3);

/// "12.5 L/min". The same for every kind; the typed functions below say which kind they mean.
[[nodiscard]] std::string format_figure(Figure kind, double si, Units units, int figures = 3);

[[nodiscard]] std::string format_length(Length, Units);
[[nodiscard]] std::string format_bore(Length, Units);
[[nodiscard]] std::string format_flow(FlowRate, Units);
[[nodiscard]] std::string format_day_flow(FlowRate, Units);
[[nodiscard]] std::string format_pressure(Pressure, Units);
[[nodiscard]] std::string format_volume(Volume, Units);
[[nodiscard]] std::string format_temperature(Celsius, Units);
[[nodiscard]] std::string format_beat(Frequency, Units = Units::metric);
[[nodiscard]] std::string format_duration(Duration, Units = Units::metric);
[[nodiscard]] std::string format_speed(Speed, Units);

/// `value` with exactly `decimals` (0 to 9) figures after a point. "nan", "inf" as such.
[[nodiscard]] std::string fixed_text(double value, int decimals);

/// `value` rounded to `figures` significant figures, at most 6 decimals, without trailing zeros:
/// 0.125, 12.5, 1230.
[[nodiscard]] std::string significant_text(double value, int figures = 3);

/// Which signs make sense where the figure is asked for.
enum class Sign { positive, not_negative, any };

/// Reads what a person typed. Takes a number ("12.5", "12,5", ".5", "1/2", "5 1/2"), then a unit or none;
/// lengths, volumes and durations also as a sum of falling units ("2 ft 3 in", "1 min 30 s", "1:30").
/// Unit words in any case and the usual spellings, "litres per minute" as well as "l/min".
/// A bare number is in unit_word(kind, units). "1,200" is refused, as it is 1.2 to one reader and 1200 to
/// another. Returns SI (degrees Celsius for a temperature); the Problem's `where` is left for the caller,
/// who knows the name of the field.
[[nodiscard]] Result<double> parse_figure(Figure kind, std::string_view text, Units units,
                                          Sign sign = Sign::not_negative);

[[nodiscard]] Result<Length> parse_length(std::string_view, Units, Sign = Sign::not_negative);
[[nodiscard]] Result<Length> parse_bore(std::string_view, Units, Sign = Sign::not_negative);
[[nodiscard]] Result<FlowRate> parse_flow(std::string_view, Units, Sign = Sign::not_negative);
[[nodiscard]] Result<FlowRate> parse_day_flow(std::string_view, Units, Sign = Sign::not_negative);
[[nodiscard]] Result<Pressure> parse_pressure(std::string_view, Units, Sign = Sign::not_negative);
[[nodiscard]] Result<Volume> parse_volume(std::string_view, Units, Sign = Sign::not_negative);
[[nodiscard]] Result<Celsius> parse_temperature(std::string_view, Units);
[[nodiscard]] Result<Frequency> parse_beat(std::string_view, Units = Units::metric,
                                           Sign = Sign::not_negative);
[[nodiscard]] Result<Duration> parse_duration(std::string_view, Units = Units::metric,
                                              Sign = Sign::not_negative);
[[nodiscard]] Result<Speed> parse_speed(std::string_view, Units, Sign = Sign::not_negative);

} // namespace beckhand
