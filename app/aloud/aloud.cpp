#include "app/aloud/aloud.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

namespace beckhand {
namespace {

/// Units as they stand behind a figure, and as one says them.
constexpr std::array<std::pair<std::string_view, std::string_view>, 24> units{{
    {"L/min", "litres a minute"},
    {"L/s", "litres a second"},
    {"L/day", "litres a day"},
    {"L", "litres"},
    {"gal/min", "gallons a minute"},
    {"gal/day", "gallons a day"},
    {"gal", "gallons"},
    {"beats/min", "beats a minute"},
    {"beats/minute", "beats a minute"},
    {"/min", "a minute"},
    {"m/s", "metres a second"},
    {"ft/s", "feet a second"},
    {"m", "metres"},
    {"cm", "centimetres"},
    {"mm", "millimetres"},
    {"ft", "feet"},
    {"in", "inches"},
    {"psi", "pounds a square inch"},
    {"min", "minutes"},
    {"h", "hours"},
    {"s", "seconds"},
    {"\u00b0C", "degrees Celsius"},
    {"\u00b0F", "degrees Fahrenheit"},
    {"%", "per cent"},
}};

constexpr std::array<std::string_view, 10> numbers{"",     "One",  "Two",   "Three", "Four",
                                                   "Five", "Six", "Seven", "Eight", "Nine"};

bool is_figure(std::string_view word) {
    return !word.empty() && std::isdigit(static_cast<unsigned char>(word.front())) != 0 &&
           word.find_first_not_of("0123456789.,/") == std::string_view::npos;
}

/// The word without the stops behind it, and those.
std::pair<std::string_view, std::string_view> without_stops(std::string_view word) {
    const std::size_t end = word.find_last_not_of(".,;:!?)");
    const std::size_t kept = end == std::string_view::npos ? 0 : end + 1;
    return {word.substr(0, kept), word.substr(kept)};
}

std::string_view unit_said(std::string_view unit) {
    for (const auto& [written, said] : units) {
        if (written == unit) return said;
    }
    return {};
}

std::vector<std::string_view> words_in(std::string_view text) {
    std::vector<std::string_view> words;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find_first_of(" \n", at), text.size());
        if (end > at) words.push_back(text.substr(at, end - at));
        at = end + 1;
    }
    return words;
}

std::string ended(std::string sentence) {
    const bool open = !sentence.empty() && std::string_view(".!?:").find(sentence.back()) == std::string_view::npos;
    return open ? sentence + "." : sentence;
}

bool is_said(const kit::Control& control) {
    static constexpr std::array<std::string_view, 13> said{"question", "heading", "text",   "figure", "badge", "card", "caution",
                                                           "answer",   "tick",    "action", "hold",   "row",   "quiet"};
    const bool waits = control.role == "action" && !control.enabled; // for something else to be done first
    return !waits && control.id != "note" && std::find(said.begin(), said.end(), control.role) != said.end();
}

} // namespace

std::string spoken(std::string_view text) {
    std::string out;
    bool after_figure = false;
    const std::vector<std::string_view> words = words_in(text);
    for (std::size_t i = 0; i < words.size(); ++i) {
        const auto [word, stops] = without_stops(words[i]);
        const bool between = after_figure && (word == "-" || word == "\u2013") && i + 1 < words.size() &&
                             is_figure(without_stops(words[i + 1]).first);
        std::string_view said = after_figure ? unit_said(word) : std::string_view{};
        if (between) said = "to";
        std::string one(said.empty() ? word : said);
        if (one.size() > 1 && one.back() == '%' && is_figure(one.substr(0, one.size() - 1))) {
            one = one.substr(0, one.size() - 1) + " per cent";
        }
        out += (out.empty() ? "" : " ") + one + std::string(stops);
        after_figure = is_figure(word) && stops.find_first_of(".;:!?") == std::string_view::npos;
    }
    return out;
}

std::vector<std::string> read_out(std::span<const kit::Control> controls) {
    std::vector<std::string> dangers, rest;
    std::size_t answers = 0;
    for (const kit::Control& control : controls) {
        if (!is_said(control) || control.label.empty()) continue;
        std::string words = ended(spoken(control.label));
        if (control.role == "answer" && ++answers < numbers.size()) words = std::string(numbers[answers]) + ": " + words;
        if (control.role == "hold") words = "Hold to press: " + words;
        if (control.role == "tick" && control.chosen) words = "Done: " + words;
        (control.role == "caution" ? dangers : rest).push_back(std::move(words));
    }
    dangers.insert(dangers.end(), rest.begin(), rest.end());
    return dangers;
}

} // namespace beckhand
