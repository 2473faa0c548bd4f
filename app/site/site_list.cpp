// The first screen: every site, and what was last found there.
#include "app/figures.h"
#include "app/log/record_text.h"
#include "app/site/site_views.h"

namespace beckhand {
namespace {

constexpr const char* title = "Sites";
constexpr const char* none_yet = "No site yet.";
constexpr const char* none_todo =
    "Add the pump you look after. Its name is enough to start. With the fall, the lift and the pipes the "
    "program can also say what the pump should give. Or look at a pump right away and name it later.";
constexpr const char* start_now = "Look at a pump now";
constexpr const char* start_unlisted = "A pump that is not listed";
constexpr const char* never_visited = "No visit yet";
constexpr const char* open_words = "open";

} // namespace

std::optional<Intent> site_list_view(const State& state, const Pack&, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.begin_screen("sites", title);
    kit.main();
    if (state.sites.empty()) {
        kit.card(kit::Tone::plain, none_yet, none_todo);
        if (kit.action("start_now", start_now)) did = StartVisit{};
    }
    for (const SiteRow& row : state.sites) {
        const VisitRow* last = nullptr;   // the log is newest first
        for (const VisitRow& visit : state.log) {
            if (!last && visit.site_id == row.id) last = &visit;
        }
        std::string below = last ? day_text(last->opened_at, state.minutes_ahead) + ": " + (last->headline.empty() ? summary_of(*last) : last->headline) : never_visited;
        const bool open = last && !last->closed;
        const auto trend = state.trends.find(row.id);
        const std::string warning =
            trend != state.trends.end() ? trend_warning(trend->second.trend, state.minutes_ahead) : "";
        if (!warning.empty()) below = warning + ".\n" + below;
        const bool watch = open || !warning.empty();
        if (kit.row("site_" + row.id, row.site.name, below, open ? open_words : "",
                    watch ? kit::Tone::watch : kit::Tone::plain)) {
            did = ShowSite{row.id};
        }
    }
    if (!state.sites.empty() && kit.quiet("start_now", start_unlisted)) did = StartVisit{};
    kit.bar();
    if (kit.bar_button("choices", "Choices", kit::Slot::left)) did = Show{Screen::choices};
    if (kit.bar_button("log", "Log", kit::Slot::middle)) did = Show{Screen::log};
    if (kit.bar_button("new_site", "New site", kit::Slot::right, true, true)) did = EditSite{};
    kit.end_screen();
    return did;
}

} // namespace beckhand
