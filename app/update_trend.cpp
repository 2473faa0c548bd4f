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

} // namespace

void App::note_histories() {
    histories_.clear();
    for (const VisitRow& visit : state_.log) {
        histories_[visit.site_id] += visit.id + ' ' + std::to_string(visit.events) + ' ';
    }
    for (const SiteRow& row : state_.sites) {
        if (const auto held = histories_.find(row.id); held != histories_.end()) held->second += figures_key(row.site);
    }
}

bool App::look_back_at_next() {
    const Screen screen = state_.screen;
    const bool one_site = screen == Screen::site_sheet || screen == Screen::round;
    if (!one_site && screen != Screen::sites) return false;
    for (const SiteRow& row : state_.sites) {
        if (one_site && row.id != state_.site_id) continue;
        const auto history = histories_.find(row.id);
        if (history == histories_.end() || state_.trends[row.id].key == history->second) continue;
        look_back_at(row);
        return true;
    }
    return false;
}

void App::look_back_at(const SiteRow& row) {
    const bool on_screen = state_.screen == Screen::trend && row.id == state_.site_id;
    const Outlook* const outlook = on_screen ? state_.outlook.found() : nullptr;
    const SoundPump* const sound = outlook != nullptr && outlook->sound ? &*outlook->sound : nullptr;
    SiteTrend& held = state_.trends[row.id];
    held.key = histories_[row.id]; // also when it cannot be read: it is not tried again at every frame
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
    if (!on_screen) return;
    held.due = due_at(pack_, visits, state_.now, is_southern(row.site));
    held.parts = parts_used_often(visits, state_.now);
}

void App::on(const ShowTrend& what) {
    on(ShowSite{what.site_id});
    if (state_.trouble) return;
    state_.screen = Screen::trend;
    state_.shown = Shown::delivered;
    state_.now = services_.now();
    look_back_at(*find_site(state_, what.site_id));
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

void App::on(const KeepRound&) { save_round(false); }

void App::on(const SaveRound&) { save_round(true); }

void App::save_round(bool whole) {
    Round& round = state_.round;
    if (state_.screen != Screen::round || (round.figures.empty() && round.services.empty())) return;
    std::vector<Event> events;
    const auto add = [&](Happening what) {
        events.push_back(stamped(round.saved + static_cast<int>(events.size()) + 1, std::move(what), state_.by));
    };
    const SiteRow* const row = find_site(state_, state_.site_id);
    if (row == nullptr) return;
    if (round.visit_id.empty()) {
        round.visit_id = new_id(services_.random());
        add(opening_of(row->id, row->site, pack_.version, pack_.hash));
    }
    for (const auto& taken : round.figures) {
        if (!round.kept.contains(taken.first)) add(taken.second);
    }
    for (const std::string& service : round.services) {
        if (!round.kept.contains(service)) add(Serviced{service});
    }
    if (whole) add(Closed{Closing::left_as_is});
    commit_round(std::move(events), 0);
}

void App::commit_round(std::vector<Event> events, std::size_t next) {
    if (next == events.size()) {
        const bool ended = !events.empty() && std::holds_alternative<Closed>(events.back().what);
        if (!ended) return;
        state_.round = Round{};
        on(ShowTrend{state_.site_id});
        return;
    }
    const Event event = events[next];
    state_.saving = true;
    services_.store->commit(state_.round.visit_id, event, round_headline,
                            [this, rest = std::move(events), next](const Outcome& outcome) mutable {
                                state_.saving = false;
                                Round& round = state_.round;
                                if (!outcome) {
                                    // Whether that one is on the disk nobody knows: the next try begins a visit anew.
                                    round.visit_id.clear();
                                    round.saved = 0;
                                    round.kept.clear();
                                    state_.trouble = outcome.error();
                                    return;
                                }
                                const Event& saved = rest[next];
                                ++round.saved;
                                if (const auto* const taken = std::get_if<Measured>(&saved.what)) round.kept.insert(taken->measurement);
                                if (const auto* const done = std::get_if<Serviced>(&saved.what)) round.kept.insert(done->service);
                                commit_round(std::move(rest), next + 1);
                            });
}

} // namespace beckhand
