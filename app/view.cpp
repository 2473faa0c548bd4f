// Which screen is drawn. Trouble stands before everything else until it is read; nothing is lost by it, and
// the screen behind it comes back as it was.
#include <string>

#include "app/app.h"
#include "app/choices.h"
#include "app/codes/codes_view.h"
#include "app/glass.h"
#include "app/handover/handover_views.h"
#include "app/log/log_views.h"
#include "app/measuring/measuring_views.h"
#include "app/site/site_views.h"
#include "app/visit/visit_views.h"

namespace beckhand {
namespace {

constexpr const char* trouble_title = "Stop and read";
constexpr const char* trouble_heading = "That did not work";
constexpr const char* trouble_kept = "What was saved before is kept. You can press the same thing again.";
constexpr const char* trouble_read = "Read";
constexpr const char* notice_heading = "About the log";

std::optional<Intent> trouble_view(const State& state, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.begin_screen("trouble", trouble_title);
    kit.main();
    if (state.trouble) {
        kit.card(kit::Tone::stop, trouble_heading, state.trouble->sentence());
        kit.words(kit::Type::body, trouble_kept);
    } else {
        kit.card(kit::Tone::watch, notice_heading, state.notice->sentence());
    }
    kit.bar();
    if (kit.bar_button("read", trouble_read, kit::Slot::right, true, true)) did = ReadTrouble{};
    kit.end_screen();
    return did;
}

} // namespace

std::optional<Intent> view(const State& state, const Pack& pack, kit::Kit& kit) {
    if (state.trouble || state.notice) return trouble_view(state, kit);
    switch (state.screen) {
        case Screen::sites: return site_list_view(state, pack, kit);
        case Screen::site_sheet: return site_sheet_view(state, pack, kit);
        case Screen::site_edit: return site_edit_view(state, pack, kit);
        case Screen::trend: return trend_view(state, pack, kit);
        case Screen::round: return round_view(state, pack, kit);
        case Screen::visit: return visit_view(state, pack, kit);
        case Screen::log: return log_list_view(state, pack, kit);
        case Screen::record: return record_view(state, pack, kit);
        case Screen::glass: return glass_view(state, pack, kit);
        case Screen::codes: return codes_view(state, pack, kit);
        case Screen::handover: return handover_view(state, pack, kit);
        case Screen::choices: return choices_view(state, pack, kit);
        case Screen::measuring: return measuring_view(state, pack, kit);
    }
    return std::nullopt;
}

} // namespace beckhand
