// Quantities keep their dimensions, and figures read and print as people write them.
#include <doctest/doctest.h>

#include <clocale>
#include <string>

#include "engine/quantity/text.h"

using namespace beckhand;

namespace {

template <class A, class B>
concept can_add = requires(A a, B b) {
    a + b;
};
template <class A, class B>
concept can_compare = requires(A a, B b) {
    a < b;
};

double si(const Result<double>& result) {
    if (!result) {
        FAIL("refused: " << result.error().sentence());
    }
    return *result;
}

bool refused(Figure kind, std::string_view text, Sign sign = Sign::not_negative) {
    const auto result = parse_figure(kind, text, Units::metric, sign);
    return !result && !result.error().what.empty() && !result.error().todo.empty();
}

} // namespace

TEST_CASE("a length does not add to a time, nor a plain number to a pressure") {
    static_assert(can_add<Length, Length> && !can_add<Length, Duration> && !can_add<Length, Area>);
    static_assert(!can_add<Pressure, double> && !can_add<FlowRate, Volume> && !can_add<Celsius, Celsius>);
    static_assert(can_compare<FlowRate, FlowRate> && !can_compare<FlowRate, Speed>);
    static_assert(std::is_same_v<decltype(metres(1) * metres(1) * metres_per_second(1)), FlowRate>);
    static_assert(std::is_same_v<decltype(metres(1) / metres(2)), double>);
    CHECK((square_metres(2) * metres_per_second(3)).in(cubic_metres_per_second) == doctest::Approx(6));
}

TEST_CASE("unit factors are those of the NIST guide") {
    // NIST Special Publication 811, Appendix B (from memory): foot 0.3048 m, US gallon 3.785412 L,
    // psi 6.894757 kPa, gal/min 0.06309020 L/s, ft3/s 28.31685 L/s.
    CHECK(us_gallons(1).in(litres) == doctest::Approx(3.785412).epsilon(1e-7));
    CHECK(psi(1).in(kilopascals) == doctest::Approx(6.894757).epsilon(1e-7));
    CHECK(us_gallons_per_minute(1).in(litres_per_second) == doctest::Approx(0.06309020).epsilon(1e-7));
    CHECK(cubic_feet_per_second(1).in(litres_per_second) ==
          doctest::Approx(28.31685).epsilon(2e-7)); // 7 figures
    CHECK(cubic_feet_per_second(1).in(us_gallons_per_minute) == doctest::Approx(448.831).epsilon(1e-6));
    CHECK(litres_per_day(1440).in(litres_per_minute) == doctest::Approx(1));
}

TEST_CASE("figures print to three significant figures and no trailing zeros") {
    CHECK(significant_text(12.5) == "12.5");
    CHECK(significant_text(12.0) == "12");
    CHECK(significant_text(12.345) == "12.3");
    CHECK(significant_text(1234.5) == "1230");
    CHECK(significant_text(0.012345) == "0.0123");
    CHECK(significant_text(9.999) == "10");
    CHECK(significant_text(999.6) == "1000");
    CHECK(significant_text(-0.5) == "-0.5");
    CHECK(significant_text(0) == "0");
    CHECK(significant_text(-1e-12) == "0");
    CHECK(significant_text(3.14159, 2) == "3.1");
    CHECK(fixed_text(2.5, 2) == "2.50");
    CHECK(fixed_text(-0.04, 1) == "0.0");
    CHECK(fixed_text(0.05, 2) == "0.05");
    CHECK(fixed_text(1e300, 2) == "inf");
    CHECK(fixed_text(-1.0 / 0.0, 2) == "-inf");
    CHECK(fixed_text(0.0 / 0.0, 2) == "nan");
}

TEST_CASE("every kind of figure has its metric and its US words") {
    CHECK(format_length(metres(14), Units::metric) == "14 m");
    CHECK(format_length(metres(14), Units::us) == "45.9 ft");
    CHECK(format_bore(millimetres(52.5), Units::metric) == "52.5 mm");
    CHECK(format_bore(inches(2.067), Units::us) == "2.07 in");
    CHECK(format_flow(litres_per_minute(12.5), Units::metric) == "12.5 L/min");
    CHECK(format_flow(litres_per_minute(12.5), Units::us) == "3.3 gal/min");
    CHECK(format_day_flow(litres_per_minute(1), Units::metric) == "1440 L/day");
    CHECK(format_day_flow(us_gallons_per_minute(1), Units::us) == "1440 gal/day");
    CHECK(format_pressure(bar(1.374), Units::metric) == "1.37 bar");
    CHECK(format_pressure(bar(1.374), Units::us) == "19.9 psi");
    CHECK(format_volume(litres(10), Units::metric) == "10 L");
    CHECK(format_volume(us_gallons(2.5), Units::us) == "2.5 gal");
    CHECK(format_temperature(Celsius{15}, Units::metric) == "15 °C");
    CHECK(format_temperature(Celsius{15}, Units::us) == "59 °F");
    CHECK(format_temperature(Celsius{-0.02}, Units::metric) == "0 °C");
    CHECK(format_beat(beats_per_minute(52.34)) == "52.3 beats/min");
    CHECK(format_speed(metres_per_second(1.2), Units::metric) == "1.2 m/s");
    CHECK(format_speed(feet_per_second(4), Units::us) == "4 ft/s");
    CHECK(format_duration(seconds(0.085)) == "0.085 s");
    CHECK(format_duration(seconds(45.25)) == "45.3 s");
    CHECK(format_duration(seconds(119.8)) == "2 min");
    CHECK(format_duration(seconds(750)) == "12 min 30 s");
    CHECK(format_duration(minutes(60)) == "60 min");
    CHECK(format_duration(hours(3.1)) == "3 h 6 min");
    CHECK(format_duration(hours(75)) == "3 days 3 h");
}

TEST_CASE("a bare number is in the unit shown, with a point or a comma") {
    CHECK(parse_length("12.5", Units::metric)->in(metres) == doctest::Approx(12.5));
    CHECK(parse_length("12,5", Units::metric)->in(metres) == doctest::Approx(12.5));
    CHECK(parse_length(" 12.5 ", Units::us)->in(feet) == doctest::Approx(12.5));
    CHECK(parse_bore("52", Units::metric)->in(millimetres) == doctest::Approx(52));
    CHECK(parse_bore("2", Units::us)->in(inches) == doctest::Approx(2));
    CHECK(parse_flow(".5", Units::us)->in(us_gallons_per_minute) == doctest::Approx(0.5));
    CHECK(parse_flow("5.", Units::metric)->in(litres_per_minute) == doctest::Approx(5));
    CHECK(parse_day_flow("1440", Units::metric)->in(litres_per_minute) == doctest::Approx(1));
    CHECK(parse_pressure("0.8", Units::metric)->in(bar) == doctest::Approx(0.8));
    CHECK(parse_pressure("12", Units::us)->in(psi) == doctest::Approx(12));
    CHECK(parse_temperature("59", Units::us)->degrees == doctest::Approx(15));
    CHECK(parse_temperature("15", Units::metric)->degrees == doctest::Approx(15));
    CHECK(parse_beat("52")->in(beats_per_minute) == doctest::Approx(52));
    CHECK(parse_duration("90")->in(seconds) == doctest::Approx(90));
    CHECK(parse_length("0,125", Units::metric)->in(metres) == doctest::Approx(0.125));
}

TEST_CASE("fractions and mixed numbers are read") {
    CHECK(parse_volume("1/2", Units::metric)->in(litres) == doctest::Approx(0.5));
    CHECK(parse_volume("5 1/2 gal", Units::metric)->in(us_gallons) == doctest::Approx(5.5));
    CHECK(parse_bore("1 1/4\"", Units::metric)->in(inches) == doctest::Approx(1.25));
    CHECK(parse_bore("1¼ in", Units::us)->in(inches) == doctest::Approx(1.25));
    CHECK(parse_bore("½in", Units::us)->in(inches) == doctest::Approx(0.5));
    CHECK(parse_bore("3/4 inch", Units::metric)->in(inches) == doctest::Approx(0.75));
}

TEST_CASE("a named unit wins over the one shown, in any usual spelling") {
    CHECK(parse_flow("12.5 L/min", Units::us)->in(litres_per_minute) == doctest::Approx(12.5));
    CHECK(parse_flow("3 gal/min", Units::metric)->in(us_gallons_per_minute) == doctest::Approx(3));
    CHECK(parse_flow("3gpm", Units::metric)->in(us_gallons_per_minute) == doctest::Approx(3));
    CHECK(parse_flow("3 GALLONS PER MINUTE", Units::metric)->in(us_gallons_per_minute) == doctest::Approx(3));
    CHECK(parse_flow("20 litres a minute", Units::us)->in(litres_per_minute) == doctest::Approx(20));
    CHECK(parse_flow("0.5 l/s", Units::metric)->in(litres_per_second) == doctest::Approx(0.5));
    CHECK(parse_flow("1.7 m³/h", Units::metric)->in(cubic_metres_per_hour) == doctest::Approx(1.7));
    CHECK(parse_flow("1.7m3/h", Units::metric)->in(cubic_metres_per_hour) == doctest::Approx(1.7));
    CHECK(parse_flow("2 cubic metres per day", Units::metric)->in(litres_per_day) == doctest::Approx(2000));
    CHECK(parse_flow("0.1 ft3/s", Units::metric)->in(cubic_feet_per_second) == doctest::Approx(0.1));
    CHECK(parse_day_flow("1 imp gal/min", Units::metric)->in(litres_per_minute) == doctest::Approx(4.54609));
    CHECK(parse_pressure("0.8 bar", Units::us)->in(bar) == doctest::Approx(0.8));
    CHECK(parse_pressure("12 psi", Units::metric)->in(psi) == doctest::Approx(12));
    CHECK(parse_pressure("12 lb/in2", Units::metric)->in(psi) == doctest::Approx(12));
    CHECK(parse_pressure("140 kPa", Units::metric)->in(kilopascals) == doctest::Approx(140));
    // A metre of water of 1000 kg/m3 under standard gravity: 9.80665 kPa; 0.7031 m to the psi.
    CHECK(parse_pressure("10 m of water", Units::metric)->in(kilopascals) == doctest::Approx(98.0665));
    CHECK(parse_pressure("0.7031 mH2O", Units::metric)->in(psi) == doctest::Approx(1).epsilon(0.0001));
    CHECK(parse_temperature("59 F", Units::metric)->degrees == doctest::Approx(15));
    CHECK(parse_temperature("15 °C", Units::us)->degrees == doctest::Approx(15));
    CHECK(parse_temperature("-4f", Units::metric)->degrees == doctest::Approx(-20));
    CHECK(parse_temperature("288.15 K", Units::metric)->degrees == doctest::Approx(15));
    CHECK(parse_beat("0.9 Hz")->in(beats_per_minute) == doctest::Approx(54));
    CHECK(parse_beat("52 beats per minute")->in(beats_per_minute) == doctest::Approx(52));
    CHECK(parse_beat("52/min")->in(beats_per_minute) == doctest::Approx(52));
    CHECK(parse_speed("4 ft/s", Units::metric)->in(feet_per_second) == doctest::Approx(4));
    CHECK(parse_length("35 cm", Units::us)->in(metres) == doctest::Approx(0.35));
    CHECK(parse_volume("3 qt", Units::metric)->in(us_gallons) == doctest::Approx(0.75));
}

TEST_CASE("lengths, volumes and times add up in falling units") {
    CHECK(parse_length("2 ft 3 in", Units::metric)->in(inches) == doctest::Approx(27));
    CHECK(parse_length("2ft3in", Units::metric)->in(inches) == doctest::Approx(27));
    CHECK(parse_length("5' 6 1/2\"", Units::metric)->in(inches) == doctest::Approx(66.5));
    CHECK(parse_length("5’6”", Units::metric)->in(inches) == doctest::Approx(66));
    CHECK(parse_duration("1 min 30 s")->in(seconds) == doctest::Approx(90));
    CHECK(parse_duration("1:30")->in(seconds) == doctest::Approx(90));
    CHECK(parse_duration("1:02:03")->in(seconds) == doctest::Approx(3723));
    CHECK(parse_volume("2 gal 1 qt", Units::metric)->in(us_gallons) == doctest::Approx(2.25));
    CHECK(refused(Figure::length, "3 in 2 ft"));
    CHECK(refused(Figure::length, "2 ft 3 ft"));
    CHECK(refused(Figure::length, "2 ft 3"));
    CHECK(refused(Figure::pressure, "1 bar 2 bar"));
    CHECK(refused(Figure::temperature, "1 C 2 C"));
}

TEST_CASE("nonsense is refused with a sentence that says what would be right") {
    for (const char* text : {"",        "   ",   "abc",   "m",          "-",
                             "--3",     "1..2",  "1.2.3", "12 parsecs", "5 6",
                             "5 6 m",   "1/",    "1/0",   "5 1/0 m",    "5 3/2 m",
                             "1e3",     "0x10",  "nan",   "inf",        "12 m/s",
                             "1/2/3",   "3 - 1", "1:30",  "½½",         "99999999999999999999999999",
                             "\xff\xfe"}) {
        CAPTURE(text);
        CHECK(refused(Figure::length, text));
    }
    CHECK(refused(Figure::flow, "12 L"));
    CHECK(refused(Figure::flow, "12 /min"));
    CHECK(refused(Figure::duration, "1:75"));
    CHECK(refused(Figure::duration, "1:5"));
    CHECK(refused(Figure::temperature, "-300 C"));
    CHECK(refused(Figure::temperature, "- C"));
    const auto wrong = parse_length("12 kg", Units::metric);
    REQUIRE(!wrong);
    CHECK(wrong.error().sentence() == "\"12 kg\" is not a length. Use m, cm, mm, ft or in. Write a number "
                                      "and, if you like, a unit: 12.5 m.");
}

TEST_CASE("a comma before three digits is refused, because it has two meanings") {
    const auto twice = parse_flow("1,200", Units::us);
    REQUIRE(!twice);
    CHECK(twice.error().what.find("can mean 1.200 or 1200") != std::string::npos);
    CHECK(refused(Figure::length, "1,234.5"));
    CHECK(refused(Figure::length, "1.234,5"));
    CHECK(parse_length("1,2345", Units::metric)->in(metres) == doctest::Approx(1.2345));
}

TEST_CASE("signs are refused where they make no sense") {
    CHECK(refused(Figure::length, "-3 m"));
    CHECK(refused(Figure::length, "−3 m")); // typographic minus
    CHECK(refused(Figure::length, "0", Sign::positive));
    CHECK(si(parse_figure(Figure::length, "0", Units::metric)) == 0);
    CHECK(si(parse_figure(Figure::length, "-430 m", Units::metric, Sign::any)) ==
          doctest::Approx(-430)); // Dead Sea
    CHECK(si(parse_figure(Figure::length, "+3 m", Units::metric)) == doctest::Approx(3));
}

TEST_CASE("what is printed is read back to the printed figure in both systems") {
    const Figure kinds[] = {Figure::length,   Figure::bore,    Figure::flow,  Figure::day_flow,
                            Figure::pressure, Figure::volume,  Figure::speed, Figure::temperature,
                            Figure::beat,     Figure::duration};
    for (const Figure kind : kinds) {
        for (const Units units : {Units::metric, Units::us}) {
            for (const double number : {0.0, 0.0123, 0.5, 7.0, 12.3, 98.7}) {
                const double unit = number_in(kind, 1, units) - number_in(kind, 0, units);
                const std::string text = format_figure(kind, number / unit, units);
                CAPTURE(text);
                const double again = si(parse_figure(kind, text, units));
                CHECK(format_figure(kind, again, units) == text);
            }
        }
    }
}

TEST_CASE("a comma locale changes neither printing nor reading") {
    const std::string before = std::setlocale(LC_ALL, nullptr);
    for (const char* name : {"de_DE.UTF-8", "fr_FR.UTF-8", "C.UTF-8"}) {
        std::setlocale(LC_ALL, name); // where the machine has it
        CHECK(format_length(metres(1.25), Units::metric) == "1.25 m");
        CHECK(parse_length("1.25", Units::metric)->in(metres) == doctest::Approx(1.25));
    }
    std::setlocale(LC_ALL, before.c_str());
}

TEST_CASE("a long entry is quoted short and never through the middle of a letter") {
    std::string text;
    for (int i = 0; i < 60; ++i) {
        text += "ü";
    }
    const auto wrong = parse_length("x" + text, Units::metric);
    REQUIRE(!wrong);
    CHECK(wrong.error().what.size() < 80);
    const std::size_t end = wrong.error().what.find("...");
    REQUIRE(end != std::string::npos);
    CHECK((static_cast<unsigned char>(wrong.error().what[end - 1]) & 0xC0) ==
          0x80); // a whole "ü" before the dots
}
