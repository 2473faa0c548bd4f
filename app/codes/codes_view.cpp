// One code after the other, as large as the glass allows; nothing else on the screen moves.
#include "app/codes/codes_view.h"

#include <algorithm>

#include "app/kit/code_draw.h"
#include "engine/bundle/qr.h"

namespace beckhand {
namespace {

constexpr const char* label = "Code for the other device's camera";
constexpr const char* hold = "Hold the other device's camera on the code until it says that everything is there.";
constexpr const char* digits = "This device";
constexpr const char* compare = "The other device shows the same digits before it takes anything in.";
constexpr const char* receipt = "Then let it give you its receipt. Nothing here changes or goes away.";
constexpr std::size_t most_lines = 3;

} // namespace

std::vector<std::string> hand_over_lines(const State& state, const std::string& site_id) {
    std::vector<std::string> lines;
    for (auto one = state.hand_overs.rbegin(); one != state.hand_overs.rend() && lines.size() < most_lines; ++one) {
        if (one->site_id == site_id) lines.push_back(sentence(*one));
    }
    return lines;
}

std::optional<Intent> codes_view(const State& state, const Pack&, kit::Kit& kit) {
    std::optional<Intent> did;
    const CodesOnScreen& codes = state.codes;
    kit.begin_screen("codes", codes.site_name);
    kit.side();
    if (codes.frames) {
        if (const auto code = bundle::qr_squares(codes.frames->frame(codes.number))) {
            kit::draw_code(kit, code->width, code->dark, label);
            kit.wake_after(1.0 / bundle::frames_a_second);
        }
    }
    kit.main();
    kit.words(kit::Type::body, hold);
    if (codes.frames) {
        kit.words(kit::Type::small, std::to_string(codes.frames->parts()) + " parts, about " +
                                        std::to_string(seconds_needed(codes)) + " s.");
    }
    kit.label_and_figure(digits, codes.device);
    kit.words(kit::Type::small, compare);
    kit.words(kit::Type::small, receipt);
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    kit.end_screen();
    return did;
}

} // namespace beckhand
