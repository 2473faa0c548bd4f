// Visits, newest first: of one site when it was opened from its sheet, of all otherwise.
#include "app/figures.h"
#include "app/log/log_views.h"
#include "app/log/record_text.h"

namespace beckhand {
namespace {

constexpr const char* all_sites = "Log";
constexpr const char* none = "No visit yet.";
constexpr const char* open_words = "open";
constexpr const char* branch_words = "Gone on with by two people, both are kept. ";
constexpr const char* doubtful_words = " (clock in doubt)";

} // namespace

std::optional<Intent> log_list_view(const State& state, const Pack&, kit::Kit& kit) {
    std::optional<Intent> did;
    const bool one_site = !state.site_id.empty();
    std::string title = all_sites;
    for (const SiteRow& row : state.sites) {
        if (one_site && row.id == state.site_id) title = "Log: " + row.site.name;
    }
    kit.begin_screen("log", title);
    kit.main();
    bool any = false;
    for (const VisitRow& visit : state.log) {
        if (one_site && visit.site_id != state.site_id) continue;
        any = true;
        const std::string day =
            day_text(visit.opened_at, state.minutes_ahead) + (visit.doubtful_times ? doubtful_words : "");
        const std::string below = (visit.branches > 1 ? branch_words : "") + summary_of(visit);
        const kit::Tone tone = !visit.closed                       ? kit::Tone::watch
                               : *visit.closed == Closing::proved ? kit::Tone::good
                                                                  : kit::Tone::plain;
        if (kit.row("visit_" + visit.id, one_site ? day : visit.site_name + ", " + day, below,
                    visit.closed ? "" : open_words, tone)) {
            did = ReadRecord{visit.id};
        }
    }
    if (!any) kit.words(kit::Type::body, none);
    kit.bar();
    if (kit.bar_button("back", one_site ? "Back" : "Sites", kit::Slot::left)) did = Back{};
    kit.end_screen();
    return did;
}

} // namespace beckhand
