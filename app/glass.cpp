#include "app/glass.h"

#include <string>

#include "app/kit/edges.h"

namespace beckhand {
namespace {

constexpr const char* title = "Sizes on this screen";
constexpr const char* how = "Hold a bank card upright on the glass. Press until its short side just fits between the lines.";
constexpr const char* why = "Answers and letters are then as large as they should be for a wet hand.";
constexpr const char* between = "As wide as a bank card";
constexpr int one_press = 2;   // per cent

} // namespace

std::optional<Intent> glass_view(const State& state, const Pack&, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.begin_screen("glass", title, std::to_string(state.glass_percent) + " %");
    kit.main();
    kit.words(kit::Type::body, how);
    (void)kit::draw_edges(kit, card_short_mm, between);
    kit.words(kit::Type::small, why);
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    if (kit.bar_button("closer", "Closer", kit::Slot::middle)) did = SetGlass{state.glass_percent - one_press};
    if (kit.bar_button("wider", "Wider", kit::Slot::right)) did = SetGlass{state.glass_percent + one_press};
    kit.end_screen();
    return did;
}

} // namespace beckhand
