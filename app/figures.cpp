// Kinds of figures and their words.
#include "app/figures.h"

#include <array>
#include <cctype>
#include <chrono>
#include <cmath>
#include <cstdlib>

namespace beckhand {
namespace {

std::string two_figures(int number) { return (number < 10 ? "0" : "") + std::to_string(number); }

int minutes_ahead(Instant at, const MinutesAhead& ahead) { return ahead ? ahead(at) : 0; }

/// On the wall clock of the place.
std::chrono::milliseconds since_1970(Instant at, const MinutesAhead& ahead) {
    return std::chrono::milliseconds(at.ms) + std::chrono::minutes(minutes_ahead(at, ahead));
}

std::string clock_words(int minutes) { return two_figures(minutes / 60) + ":" + two_figures(minutes % 60); }

} // namespace

Figure figure_of(const SiteField& field) {
    const std::string_view key = field.key;
    if (key.ends_with("_per_min")) return Figure::beat;
    if (key.ends_with("_lpm")) return Figure::flow;
    if (key.ends_with("_bar")) return Figure::pressure;
    if (key.ends_with("_mm")) return Figure::bore;
    if (key.ends_with("_l")) return Figure::volume;
    if (key.ends_with("_c")) return Figure::temperature;
    return Figure::length;
}

std::string range_text(Figure kind, double least_si, double most_si, Units units, int figures) {
    return format_number(kind, least_si, units, figures) + " to " + format_figure(kind, most_si, units, figures);
}

int figures_of_band(double least_si, double most_si) {
    return most_si - least_si > 0.1 * std::abs(most_si) ? 2 : 3;
}

std::string band_text(Figure kind, double least_si, double most_si, Units units) {
    return range_text(kind, least_si, most_si, units, figures_of_band(least_si, most_si));
}

std::string title_of(const SiteField& field) {
    std::string title(field.words);
    // The last part names the unit, which the figure beside it does too; "beats a minute" has no comma.
    if (const std::size_t comma = title.rfind(", "); comma != std::string::npos) title.erase(comma);
    title[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(title[0])));
    return title;
}

std::string_view words_of(PipeMaterial material) {
    switch (material) {
        case PipeMaterial::steel: return "Steel";
        case PipeMaterial::cast_iron: return "Cast iron";
        case PipeMaterial::copper: return "Copper";
        case PipeMaterial::rigid_plastic: return "Hard plastic (PVC)";
        case PipeMaterial::soft_plastic: return "Soft plastic (PE)";
    }
    return "";
}

std::string_view words_of(Closing how) {
    switch (how) {
        case Closing::proved: return "Put right and proved";
        case Closing::handed_on: return "Handed on";
        case Closing::called_help: return "Called for help";
        case Closing::left_as_is: return "Left as it is";
    }
    return "";
}

std::string minutes_text(double count) {
    const int whole = static_cast<int>(std::lround(count));
    if (whole < 60) return std::to_string(whole) + " min";
    const std::string full = std::to_string(whole / 60) + " h";
    return whole % 60 == 0 ? full : full + " " + std::to_string(whole % 60) + " min";
}

std::string day_text(Instant at, const MinutesAhead& ahead) {
    constexpr std::array months{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    const std::chrono::year_month_day date(
        std::chrono::sys_days(std::chrono::floor<std::chrono::days>(since_1970(at, ahead))));
    const unsigned month = static_cast<unsigned>(date.month());
    return std::to_string(static_cast<unsigned>(date.day())) + " " + months[month - 1] + " " +
           std::to_string(static_cast<int>(date.year()));
}

std::string clock_text(Instant at, const MinutesAhead& ahead) {
    const std::chrono::milliseconds time = since_1970(at, ahead);
    const std::chrono::milliseconds in_day = time - std::chrono::floor<std::chrono::days>(time);
    return clock_words(static_cast<int>(in_day.count() / 60000));
}

std::string zone_text(Instant at, const MinutesAhead& ahead) {
    const int ahead_of_utc = minutes_ahead(at, ahead);
    if (ahead_of_utc == 0) return "UTC";
    return (ahead_of_utc < 0 ? "UTC-" : "UTC+") + clock_words(std::abs(ahead_of_utc));
}

} // namespace beckhand
