// The spellings of units, by kind of figure.
#include "engine/quantity/unit_words.h"

#include <cstddef>

namespace beckhand {

namespace {

struct UnitWord {
    std::string_view words; // separated by spaces
    double si_per_unit;
};

constexpr UnitWord length_words[] = {
    {"m metre metres meter meters", 1},
    {"mm millimetre millimetres millimeter millimeters", 1e-3},
    {"cm centimetre centimetres centimeter centimeters", 1e-2},
    {"km kilometre kilometres kilometer kilometers", 1e3},
    {"ft foot feet '", 0.3048},
    {"in inch inches \"", 0.0254},
    {"yd yard yards", 0.9144},
    {"mi mile miles", 1609.344},
};
constexpr UnitWord volume_words[] = {
    {"l litre litres liter liters ltr", 1e-3},
    {"ml millilitre millilitres milliliter milliliters", 1e-6},
    {"m3 cubicmetre cubicmetres cubicmeter cubicmeters cum", 1},
    {"cm3 cc", 1e-6},
    {"gal gals gallon gallons usgal usgals usgallon usgallons", us_gallons.si_per_unit},
    {"impgal impgallon impgallons ukgal imperialgallon imperialgallons", 4.54609e-3},
    {"qt quart quarts", us_gallons.si_per_unit / 4},
    {"pt pint pints", us_gallons.si_per_unit / 8},
    {"ft3 cuft cubicfoot cubicfeet", cubic_feet.si_per_unit},
};
constexpr UnitWord duration_words[] = {
    {"s sec secs second seconds", 1},
    {"ms millisecond milliseconds", 1e-3},
    {"min mins minute minutes m '", 60},
    {"h hr hrs hour hours", 3600},
    {"d day days", 86400},
};
// Where a flow is said in one word; the rest is a volume word over a duration word.
constexpr UnitWord flow_words[] = {
    {"lpm", litres_per_minute.si_per_unit},
    {"lps", litres_per_second.si_per_unit},
    {"lph", 1e-3 / 3600},
    {"lpd", litres_per_day.si_per_unit},
    {"gpm usgpm", us_gallons_per_minute.si_per_unit},
    {"gps", us_gallons.si_per_unit},
    {"gph", us_gallons.si_per_unit / 3600},
    {"gpd", us_gallons_per_day.si_per_unit},
    {"cfs cusec cusecs", cubic_feet.si_per_unit},
    {"cumec cumecs", 1},
};
constexpr UnitWord pressure_words[] = {
    {"bar bars barg", 1e5},
    {"mbar millibar millibars", 100},
    {"pa pascal pascals", 1},
    {"kpa kilopascal kilopascals", 1e3},
    {"mpa megapascal megapascals", 1e6},
    {"psi psig lb/in2 lbs/in2 lbf/in2 lb/sqin lbs/sqin lb/squareinch pounds/squareinch", psi.si_per_unit},
    {"kg/cm2 kgf/cm2 at", g_si * 1e4},
    {"atm", 101325},
    // A column of water of 1000 kg/m3 under standard gravity, as on a gauge dial.
    {"mh2o mwater mofwater mwc mwg mhead mofhead metresofwater metersofwater", g_si * 1e3},
    {"fth2o ftwater ftofwater feetofwater fthead ftofhead", g_si * 1e3 * 0.3048},
};
constexpr UnitWord beat_words[] = {
    {"beats/min beat/min beats/minute beat/minute bpm /min /minute min-1 beats", 1.0 / 60},
    {"hz hertz /s /second beats/s beats/second", 1},
};
constexpr UnitWord speed_words[] = {
    {"m/s m/sec m/second metres/second meters/second mps", 1},
    {"cm/s cm/sec", 1e-2},
    {"m/min m/minute", 1.0 / 60},
    {"km/h kph kmh", 1 / 3.6},
    {"ft/s ft/sec ft/second feet/second fps", 0.3048},
    {"ft/min ft/minute fpm", 0.3048 / 60},
    {"mph mi/h", 0.44704},
};

template <std::size_t N>
std::optional<double> look_up(const UnitWord (&table)[N], std::string_view unit) {
    if (unit.empty()) {
        return std::nullopt;
    }
    for (const UnitWord& row : table) {
        std::string_view rest = row.words;
        while (!rest.empty()) {
            const std::size_t end = rest.find(' ');
            if (rest.substr(0, end) == unit) {
                return row.si_per_unit;
            }
            rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
        }
    }
    return std::nullopt;
}

} // namespace

std::optional<double> si_per_unit(Figure kind, std::string_view unit) {
    switch (kind) {
    case Figure::length:
    case Figure::bore:
        return look_up(length_words, unit);
    case Figure::volume:
        return look_up(volume_words, unit);
    case Figure::duration:
        return look_up(duration_words, unit);
    case Figure::pressure:
        return look_up(pressure_words, unit);
    case Figure::beat:
        return look_up(beat_words, unit);
    case Figure::speed:
        return look_up(speed_words, unit);
    case Figure::flow:
    case Figure::day_flow: {
        if (const auto one_word = look_up(flow_words, unit)) {
            return one_word;
        }
        const std::size_t slash = unit.find('/');
        if (slash == std::string_view::npos) {
            return std::nullopt;
        }
        const auto volume = look_up(volume_words, unit.substr(0, slash));
        const auto time = look_up(duration_words, unit.substr(slash + 1));
        if (!volume || !time) {
            return std::nullopt;
        }
        return *volume / *time;
    }
    case Figure::temperature:
        return std::nullopt; // a point, see celsius_of()
    }
    return std::nullopt;
}

std::optional<double> celsius_of(double number, std::string_view unit) {
    if (unit == "c" || unit == "degc" || unit == "celsius" || unit == "degreescelsius" ||
        unit == "degreesc") {
        return number;
    }
    if (unit == "f" || unit == "degf" || unit == "fahrenheit" || unit == "degreesfahrenheit" ||
        unit == "degreesf") {
        return (number - 32) / 1.8;
    }
    if (unit == "k" || unit == "kelvin") {
        return number - 273.15;
    }
    return std::nullopt;
}

} // namespace beckhand
