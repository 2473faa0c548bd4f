// The trend of each site, kept up with the log, and a round: figures and routine work set down without a
// fault to look for. A round is a visit like any other, saved event by event.
#include "app/app.h"

#include <utility>

#include "engine/records/site_fields.h"

namespace beckhand {
namespace {

constexpr const char* round_headline = "Routine: figures and work set down";

/// Ten years of a visit a month; a log that is longer still opens at once.
constexpr std::size_t visits_looked_at = 120;

/// Tells one state of a site's history from another.
std::string key_of(const SiteRow& row, const std::vector<VisitRow>& log) {
    std::string key;
    for (const SiteField& field : site_fields()) {
        const std::optional<double> si = field.si(row.site);
        key += (si ? std::to_string(*si * 1e9) : "-") + ' ';
    }
    for (const VisitRow& visit : log) {
        if (visit.site_id == row.id) key += visit.id + ' ' + std::to_string(visit.events) + ' ';
    }
    return key;
}

} // namespace

void App::look_back() {
    for (const SiteRow& row : state_.sites) look_back_at(row);
}

void App::look_back_at(const SiteRow& row) {
    const bool on_screen = state_.screen == Screen::trend && row.id == state_.site_id;
    const Outlook* const outlook = on_screen ? state_.outlook.found() : nullptr;
    const SoundPump* const sound = outlook != nullptr && outlook->sound ? &*outlook->sound : nullptr;
    std::string key = key_of(row, state_.log);
    SiteTrend& held = state_.trends[row.id];
    if (held.key == key && !on_screen) return;
    std::vector<TrendPoint> points;
    std::vector<Visit> visits;
    for (const VisitRow& visit : state_.log) { // newest first
        if (visit.site_id != row.id || visits.size() == visits_looked_at) continue;
        const Result<std::vector<Event>> events = services_.store->events(visit.id);
        if (!events) {
            state_.trouble = events.error();
            return;
        }
        visits.push_back(fold(*events));
        for (TrendPoint& point : trend_points(pack_, visit.id, visits.back())) points.push_back(std::move(point));
    }
    held.trend = trend_of(pack_, model_, row.site, std::move(points), sound);
    if (on_screen) held.due = due_at(pack_, visits, state_.now);
    held.key = std::move(key);
}

void App::on(const ShowTrend& what) {
    on(ShowSite{what.site_id});
    if (state_.trouble) return;
    state_.screen = Screen::trend;
    state_.shown = Shown::delivered;
    state_.now = services_.now();
    look_back();
}

void App::on(const ShowFigure& what) { state_.shown = what.which; }

void App::on(const BeginRound&) {
    if (state_.screen != Screen::trend) return;
    state_.round = Round{};
    state_.entry.reset();
    state_.screen = Screen::round;
}

void App::on(const TakeFigure& what) {
    if (state_.screen != Screen::round || find_measurement(pack_, what.measurement) == nullptr) return;
    Entry entry;
    entry.field = what.measurement;
    state_.entry = std::move(entry);
}

void App::on(const TickService& what) {
    if (state_.round.services.erase(what.service) == 0) state_.round.services.insert(what.service);
}

void App::on(const SaveRound&) {
    if (state_.screen != Screen::round || (state_.round.figures.empty() && state_.round.services.empty())) return;
    std::vector<Event> events;
    const auto add = [&](Happening what) {
        Event event;
        event.number = static_cast<int>(events.size()) + 1;
        event.at = services_.now();
        event.by = state_.by;
        event.what = std::move(what);
        events.push_back(std::move(event));
    };
    for (const SiteRow& row : state_.sites) {
        if (row.id == state_.site_id) add(Opened{row.id, row.site, pack_.version, pack_.hash});
    }
    if (events.empty()) return;
    for (const auto& taken : state_.round.figures) add(taken.second);
    for (const std::string& service : state_.round.services) add(Serviced{service});
    add(Closed{Closing::left_as_is});
    commit_round(new_id(services_.random()), std::move(events), 0);
}

void App::commit_round(const std::string& visit_id, std::vector<Event> events, std::size_t next) {
    if (next == events.size()) {
        state_.round = Round{};
        on(ShowTrend{state_.site_id});
        return;
    }
    const Event event = events[next];
    state_.saving = true;
    services_.store->commit(visit_id, event, round_headline,
                            [this, visit_id, rest = std::move(events), next](const Outcome& outcome) mutable {
                                state_.saving = false;
                                if (outcome) commit_round(visit_id, std::move(rest), next + 1);
                                else state_.trouble = outcome.error();
                            });
}

} // namespace beckhand
