#include "app/handover/gather.h"

#include <utility>

namespace beckhand {

Result<std::string> handover_visit_of(const Store& store, const std::string& site_id) {
    const Result<std::vector<VisitRow>> rows = store.visits(site_id);
    if (!rows) return rows.error();
    for (const VisitRow& row : rows.value()) {
        if (!row.closed) return row.id;
    }
    if (rows->empty()) return std::string();
    const Result<std::vector<Event>> events = store.events(rows->front().id);
    if (!events) return events.error();
    return fold(events.value()).handover ? rows->front().id : std::string();
}

Result<BriefSource> gather_brief(const Store& store, const Pack& pack, const Model& model, const SiteRow& site,
                                 const BriefWish& wish) {
    BriefSource source;
    source.site = site.site;
    source.units = wish.units;
    source.minutes_ahead = wish.minutes_ahead;
    source.now = wish.now;
    source.by = wish.by;
    source.expected = expect(site.site);
    if (wish.outlook != nullptr) source.expected = with_pump(source.expected, site.site, *wish.outlook);
    const Result<std::vector<VisitRow>> rows = store.visits(site.id);
    if (!rows) return rows.error();
    for (const VisitRow& row : rows.value()) {
        Result<std::vector<Event>> events = store.events(row.id);
        if (!events) return events.error();
        if (row.closed) {
            // One that was only a handing over says nothing of the pump.
            const Visit visit = fold(*events);
            const bool latest = !source.open && source.visits.empty(); // of those that say something of the pump
            if (latest && visit.began && visit.closed && *visit.closed != Closing::proved) {
                // Given up, not settled: what it found is what whoever comes next has to know.
                std::erase_if(*events, [](const Event& event) { return std::holds_alternative<Closed>(event.what); });
                source.open = scene_of(pack, model, fold(*events), {.outlook = wish.outlook}, wish.units);
                source.open_events = std::move(*events);
                source.ended = visit.closed;
                continue;
            }
            if (visit.began || !visit.as_found.empty() || !visit.notes.empty() || !visit.answers.empty()) {
                source.visits.push_back(std::move(*events));
            }
            continue;
        }
        if (source.open) continue;
        const Visit visit = fold(*events);
        // Opened to hand the site on and for nothing else: not a visit that goes on.
        if (visit.handover && !visit.began && visit.answers.empty()) continue;
        source.open = scene_of(pack, model, visit, {.outlook = wish.outlook}, wish.units);
        source.open_events = std::move(*events);
    }
    return source;
}

} // namespace beckhand
