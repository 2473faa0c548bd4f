// Reading of figures that people type. The text is first made plain (typed_text.h), then cut into terms of
// number and unit word, then each term is turned into SI (unit_words.h).
#include "engine/quantity/text.h"

#include <cmath>
#include <optional>
#include <utility>

#include <fast_float/fast_float.h>

#include "engine/quantity/typed_text.h"
#include "engine/quantity/unit_words.h"

namespace beckhand {

namespace {

using namespace typed;

// What a person is told: the name with its article, and how a right entry looks.
struct Told {
    std::string_view name, units, example_metric, example_us;
};

Told told(Figure kind) {
    switch (kind) {
    case Figure::length:
        return {"a length", "m, cm, mm, ft or in", "12.5 m", "41 ft or 2 ft 3 in"};
    case Figure::bore:
        return {"a bore", "mm, cm or in", "52.5 mm", "2 1/16 in"};
    case Figure::flow:
        return {"a flow", "L/min, L/s, m3/h, gal/min or gal/day", "12.5 L/min", "3 gal/min"};
    case Figure::day_flow:
        return {"a day's flow", "L/day, m3/day, gal/day or gal/min", "2000 L/day", "500 gal/day"};
    case Figure::pressure:
        return {"a pressure", "bar, kPa or psi", "1.4 bar", "20 psi"};
    case Figure::volume:
        return {"a volume", "L, mL, m3, gal or qt", "10 L", "2 1/2 gal"};
    case Figure::temperature:
        return {"a temperature", "C or F", "12 C", "54 F"};
    case Figure::beat:
        return {"a beat rate", "beats/min", "52", "52"};
    case Figure::duration:
        return {"a time", "s, min, h or days", "45 s or 1 min 30 s", "45 s or 1 min 30 s"};
    case Figure::speed:
        return {"a speed", "m/s or ft/s", "1.2 m/s", "4 ft/s"};
    }
    return {};
}

std::string quoted(std::string_view text) {
    std::size_t length = text.size();
    if (length > 40) {
        length = 40; // and never in the middle of a UTF-8 letter
        while (length > 0 && (static_cast<unsigned char>(text[length]) & 0xC0) == 0x80) {
            --length;
        }
    }
    return "\"" + std::string(text.substr(0, length)) + (length < text.size() ? "..." : "") + "\"";
}

Problem problem(Figure kind, Units units, std::string what) {
    const Told words = told(kind);
    return Problem{"", std::move(what),
                   "Write a number and, if you like, a unit: " +
                       std::string(units == Units::us ? words.example_us : words.example_metric) + "."};
}

struct Term {
    double number = 0;
    std::string unit; // unit_key, empty for a bare number
};

std::optional<double> decimal(std::string_view digits) {
    double value = 0;
    const auto result = fast_float::from_chars(digits.data(), digits.data() + digits.size(), value,
                                               fast_float::chars_format::fixed);
    if (result.ec != std::errc() || result.ptr != digits.data() + digits.size() || !std::isfinite(value)) {
        return std::nullopt;
    }
    return value;
}

// "/4" behind a whole number that has just been read.
Result<double> fraction(Reader& reader, double top, Figure kind, Units units, std::string_view typed) {
    reader.step();
    reader.skip_space();
    const auto bottom = decimal(reader.digits());
    if (!bottom) {
        return problem(kind, units, quoted(typed) + " has a fraction that is not finished.");
    }
    if (*bottom == 0) {
        return problem(kind, units, quoted(typed) + " divides by zero.");
    }
    return top / *bottom;
}

Result<double> read_number(Reader& reader, Figure kind, Units units, std::string_view typed) {
    std::string text(reader.digits());
    bool whole = true;
    if (is_mark(reader.peek())) {
        const bool comma = reader.peek() == ',';
        whole = false;
        reader.step();
        const std::string before = text;
        const std::string_view after = reader.digits();
        if (is_mark(reader.peek()) && (is_digit(reader.peek(1)) || !after.empty())) {
            return problem(kind, units, quoted(typed) + " has two decimal signs. Leave thousands unmarked.");
        }
        if (comma && after.size() == 3 && !before.empty() && before.size() <= 3 && before.front() != '0') {
            std::string as_decimal = before;
            as_decimal.append(".").append(after);
            std::string as_thousands = before;
            as_thousands.append(after);
            return problem(kind, units,
                           quoted(typed) + " can mean " + as_decimal + " or " + as_thousands +
                               ". Write it with a point, or with no mark at all.");
        }
        text = (before.empty() ? "0" : before) + "." + (after.empty() ? "0" : std::string(after));
    }
    const auto value = decimal(text);
    if (!value) {
        return problem(kind, units,
                       quoted(typed) + " is too large to be " + std::string(told(kind).name) + ".");
    }
    if (!whole) {
        return *value;
    }

    if (reader.peek() == '/' && is_digit(reader.peek(1))) {
        return fraction(reader, *value, kind, units, typed);
    }
    Reader ahead = reader; // "5 1/2"
    ahead.skip_space();
    if (is_digit(ahead.peek())) {
        const auto top = decimal(ahead.digits());
        if (top && ahead.peek() == '/' && is_digit(ahead.peek(1))) {
            reader = ahead;
            Result<double> part = fraction(reader, *top, kind, units, typed);
            if (!part) {
                return part;
            }
            if (*part >= 1) {
                return problem(kind, units,
                               quoted(typed) + " has a fraction of one or more behind a whole number.");
            }
            return *value + *part;
        }
        return problem(kind, units, quoted(typed) + " has two numbers side by side.");
    }
    return *value;
}

// "1:30" and "1:02:03". Nothing if the text is not of that form.
std::optional<double> clock_seconds(std::string_view text) {
    Reader reader(text);
    reader.skip_space();
    double total = 0;
    int parts = 0;
    while (true) {
        const std::string_view digits = reader.digits();
        const auto value = decimal(digits);
        if (!value || (parts > 0 && (digits.size() != 2 || *value >= 60))) {
            return std::nullopt;
        }
        total = total * 60 + *value;
        ++parts;
        if (reader.peek() != ':') {
            break;
        }
        reader.step();
    }
    reader.skip_space();
    return reader.done() && (parts == 2 || parts == 3) ? std::optional(total) : std::nullopt;
}

Result<double> term_si(Figure kind, const Term& term, Units units, std::string_view typed) {
    const std::string unit = term.unit.empty() ? unit_key(plain(unit_word(kind, units))) : term.unit;
    const auto unknown = [kind, units, typed] {
        const Told words = told(kind);
        Problem told_so = problem(kind, units, quoted(typed) + " is not " + std::string(words.name) + ".");
        told_so.todo = "Use " + std::string(words.units) + ". " + told_so.todo;
        return told_so;
    };
    if (kind == Figure::temperature) {
        const auto degrees = celsius_of(term.number, unit);
        if (!degrees) {
            return unknown();
        }
        return *degrees;
    }
    const auto factor = si_per_unit(kind, unit);
    if (!factor) {
        return unknown();
    }
    return term.number * *factor;
}

bool can_be_summed(Figure kind) {
    return kind == Figure::length || kind == Figure::bore || kind == Figure::volume ||
           kind == Figure::duration;
}

Result<double> read_terms(Figure kind, std::string_view body, Units units, std::string_view typed) {
    Reader reader(body);
    double total = 0, last_unit = HUGE_VAL;
    int terms = 0;
    reader.skip_space();
    do {
        if (!reader.at_number()) {
            return problem(kind, units, quoted(typed) + " is not " + std::string(told(kind).name) + ".");
        }
        Term term;
        const Result<double> number = read_number(reader, kind, units, typed);
        if (!number) {
            return number.error();
        }
        term.number = *number;
        term.unit = unit_key(reader.unit());
        const Result<double> si = term_si(kind, term, units, typed);
        if (!si) {
            return si.error();
        }
        ++terms;
        if (terms > 1 || !reader.done()) {
            const double unit = si_per_unit(kind, term.unit).value_or(0); // 0 for a bare number
            if (!can_be_summed(kind) || unit <= 0 || unit >= last_unit) {
                return problem(kind, units, quoted(typed) + " is more than one figure.");
            }
            last_unit = unit;
        }
        total += *si;
    } while (!reader.done());
    return total;
}

} // namespace

Result<double> parse_figure(Figure kind, std::string_view text, Units units, Sign sign) {
    std::string body = plain(text);
    while (!body.empty() && is_space(body.back())) {
        body.pop_back();
    }
    std::size_t start = 0;
    while (start < body.size() && is_space(body[start])) {
        ++start;
    }
    body.erase(0, start);
    if (body.empty()) {
        return problem(kind, units, "Nothing is written.");
    }

    bool negative = false;
    if (body.front() == '-' || body.front() == '+') {
        negative = body.front() == '-';
        body.erase(0, 1);
    }
    Result<double> si = 0.0;
    if (kind == Figure::temperature && negative) {
        // The sign belongs to the number, before Fahrenheit's zero is moved.
        Reader reader(body);
        reader.skip_space();
        if (!reader.at_number()) {
            return problem(kind, units, quoted(text) + " is not a temperature.");
        }
        const Result<double> number = read_number(reader, kind, units, text);
        if (!number) {
            return number.error();
        }
        si = term_si(kind, Term{-*number, unit_key(reader.unit())}, units, text);
        if (si && !reader.done()) {
            return problem(kind, units, quoted(text) + " is more than one figure.");
        }
    } else if (const auto clock = kind == Figure::duration ? clock_seconds(body) : std::nullopt) {
        si = negative ? -*clock : *clock;
    } else {
        si = read_terms(kind, body, units, text);
        if (si && negative) {
            si = -*si;
        }
    }
    if (!si) {
        return si;
    }

    const std::string name(told(kind).name);
    if (!std::isfinite(*si) || std::fabs(*si) > 1e9) {
        return problem(kind, units, quoted(text) + " is too large to be " + name + ".");
    }
    if (kind == Figure::temperature) {
        if (*si < -273.15) {
            return problem(kind, units, quoted(text) + " is colder than anything can be.");
        }
        return si;
    }
    if (sign != Sign::any && *si < 0) {
        return problem(kind, units, quoted(text) + " is below zero, and this figure cannot be.");
    }
    if (sign == Sign::positive && *si == 0) {
        return problem(kind, units,
                       quoted(text) + " is zero, and this figure must be more. Leave it empty if "
                                      "nobody has measured it.");
    }
    return si;
}

namespace {

template <class Q>
Result<Q> typed_figure(Figure kind, std::string_view text, Units units, Sign sign) {
    const Result<double> si = parse_figure(kind, text, units, sign);
    if (!si) {
        return si.error();
    }
    return Q::from_si(*si);
}

} // namespace

Result<Length> parse_length(std::string_view text, Units units, Sign sign) {
    return typed_figure<Length>(Figure::length, text, units, sign);
}
Result<Length> parse_bore(std::string_view text, Units units, Sign sign) {
    return typed_figure<Length>(Figure::bore, text, units, sign);
}
Result<FlowRate> parse_flow(std::string_view text, Units units, Sign sign) {
    return typed_figure<FlowRate>(Figure::flow, text, units, sign);
}
Result<FlowRate> parse_day_flow(std::string_view text, Units units, Sign sign) {
    return typed_figure<FlowRate>(Figure::day_flow, text, units, sign);
}
Result<Pressure> parse_pressure(std::string_view text, Units units, Sign sign) {
    return typed_figure<Pressure>(Figure::pressure, text, units, sign);
}
Result<Volume> parse_volume(std::string_view text, Units units, Sign sign) {
    return typed_figure<Volume>(Figure::volume, text, units, sign);
}
Result<Celsius> parse_temperature(std::string_view text, Units units) {
    const Result<double> degrees = parse_figure(Figure::temperature, text, units, Sign::any);
    if (!degrees) {
        return degrees.error();
    }
    return Celsius{*degrees};
}
Result<Frequency> parse_beat(std::string_view text, Units units, Sign sign) {
    return typed_figure<Frequency>(Figure::beat, text, units, sign);
}
Result<Duration> parse_duration(std::string_view text, Units units, Sign sign) {
    return typed_figure<Duration>(Figure::duration, text, units, sign);
}
Result<Speed> parse_speed(std::string_view text, Units units, Sign sign) {
    return typed_figure<Speed>(Figure::speed, text, units, sign);
}

} // namespace beckhand
