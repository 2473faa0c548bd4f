// Printing of figures. Digits are made by hand from a rounded whole number, so that no locale can put a
// comma or a grouping mark into them.
#include "engine/quantity/text.h"

#include <algorithm>
#include <cmath>

namespace beckhand {

namespace {

struct Shown {
    std::string_view word;
    double si_per_unit;
};

Shown shown_unit(Figure kind, Units units) {
    const bool us = units == Units::us;
    switch (kind) {
    case Figure::length:
        return us ? Shown{"ft", feet.si_per_unit} : Shown{"m", 1};
    case Figure::bore:
        return us ? Shown{"in", inches.si_per_unit} : Shown{"mm", millimetres.si_per_unit};
    case Figure::flow:
        return us ? Shown{"gal/min", us_gallons_per_minute.si_per_unit}
                  : Shown{"L/min", litres_per_minute.si_per_unit};
    case Figure::day_flow:
        return us ? Shown{"gal/day", us_gallons_per_day.si_per_unit}
                  : Shown{"L/day", litres_per_day.si_per_unit};
    case Figure::pressure:
        return us ? Shown{"psi", psi.si_per_unit} : Shown{"bar", bar.si_per_unit};
    case Figure::volume:
        return us ? Shown{"gal", us_gallons.si_per_unit} : Shown{"L", litres.si_per_unit};
    case Figure::temperature:
        return us ? Shown{"°F", 1 / 1.8} : Shown{"°C", 1};
    case Figure::beat:
        return Shown{"beats/min", beats_per_minute.si_per_unit};
    case Figure::duration:
        return Shown{"s", 1};
    case Figure::speed:
        return us ? Shown{"ft/s", feet_per_second.si_per_unit} : Shown{"m/s", 1};
    }
    return Shown{"", 1};
}

std::string with_unit(std::string number, std::string_view word) {
    return number.append(" ").append(word);
}

std::string long_duration(double seconds_long) {
    const auto whole = std::llround(seconds_long);
    const auto days = whole / 86400, hours_left = whole / 3600 % 24, minutes_left = whole / 60 % 60;
    if (whole < 7200) {
        const auto rest = whole % 60;
        return std::to_string(whole / 60) + " min" + (rest ? " " + std::to_string(rest) + " s" : "");
    }
    if (whole < 172800) {
        return std::to_string(whole / 3600) + " h" +
               (minutes_left ? " " + std::to_string(minutes_left) + " min" : "");
    }
    return std::to_string(days) + " days" + (hours_left ? " " + std::to_string(hours_left) + " h" : "");
}

} // namespace

std::string_view unit_word(Figure kind, Units units) {
    return shown_unit(kind, units).word;
}

double number_in(Figure kind, double si, Units units) {
    const double number = si / shown_unit(kind, units).si_per_unit;
    return kind == Figure::temperature && units == Units::us ? number + 32 : number;
}

std::string fixed_text(double value, int decimals) {
    if (std::isnan(value)) {
        return "nan";
    }
    if (std::isinf(value)) {
        return value < 0 ? "-inf" : "inf";
    }
    decimals = std::clamp(decimals, 0, 9);
    double scale = std::pow(10.0, decimals);
    while (decimals > 0 && std::fabs(value) * scale > 9e15) { // beyond what a double holds to the unit
        --decimals;
        scale /= 10;
    }
    const double scaled = std::fabs(value) * scale;
    if (scaled > 9e17) {
        return value < 0 ? "-inf" : "inf"; // no figure of ours comes near
    }
    std::string digits = std::to_string(std::llround(scaled));
    const auto places = static_cast<std::size_t>(decimals);
    if (digits.size() <= places) {
        digits.insert(0, places + 1 - digits.size(), '0');
    }
    const bool zero = digits.find_first_not_of('0') == std::string::npos;
    if (places > 0) {
        digits.insert(digits.size() - places, 1, '.');
    }
    return value < 0 && !zero ? "-" + digits : digits;
}

std::string significant_text(double value, int figures) {
    if (!std::isfinite(value)) {
        return fixed_text(value, 0);
    }
    if (value == 0) {
        return "0";
    }
    const int decimals = figures - 1 - static_cast<int>(std::floor(std::log10(std::fabs(value))));
    if (decimals <= 0) {
        const double step = std::pow(10.0, -decimals);
        return fixed_text(std::round(value / step) * step, 0);
    }
    std::string text = fixed_text(value, std::min(decimals, 6));
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') {
            text.pop_back();
        }
    }
    return text;
}

std::string format_number(Figure kind, double si, Units units, int figures) {
    const double number = number_in(kind, si, units);
    // A thermometer's tenth is all there is; three figures would hide it above 100 and invent it below 10.
    if (kind == Figure::temperature) {
        return significant_text(std::round(number * 10) / 10, 4);
    }
    return significant_text(number, figures);
}

std::string format_figure(Figure kind, double si, Units units, int figures) {
    if (kind == Figure::duration && std::isfinite(si) && si >= 119.5 && si < 1e12) {
        return long_duration(si);
    }
    return with_unit(format_number(kind, si, units, figures), unit_word(kind, units));
}

std::string format_length(Length x, Units units) {
    return format_figure(Figure::length, x.si(), units);
}
std::string format_bore(Length x, Units units) {
    return format_figure(Figure::bore, x.si(), units);
}
std::string format_flow(FlowRate x, Units units) {
    return format_figure(Figure::flow, x.si(), units);
}
std::string format_day_flow(FlowRate x, Units units) {
    return format_figure(Figure::day_flow, x.si(), units);
}
std::string format_pressure(Pressure x, Units units) {
    return format_figure(Figure::pressure, x.si(), units);
}
std::string format_volume(Volume x, Units units) {
    return format_figure(Figure::volume, x.si(), units);
}
std::string format_temperature(Celsius x, Units units) {
    return format_figure(Figure::temperature, x.degrees, units);
}
std::string format_beat(Frequency x, Units units) {
    return format_figure(Figure::beat, x.si(), units);
}
std::string format_duration(Duration x, Units units) {
    return format_figure(Figure::duration, x.si(), units);
}
std::string format_speed(Speed x, Units units) {
    return format_figure(Figure::speed, x.si(), units);
}

} // namespace beckhand
