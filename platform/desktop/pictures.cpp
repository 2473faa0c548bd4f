#include "platform/desktop/pictures.h"

#include <algorithm>

#include "app/terminal/script.h"

namespace beckhand {
namespace {

constexpr int most_events = 200;
const Instant picture_day{1795600000000}; // the demo's last days: 25 November 2026

const DemoVisit* played_visit(const Demo& demo) {
    for (const DemoVisit& visit : demo.visits) {
        if (visit.play) return &visit;
    }
    return nullptr;
}

void start_visit(App& app, const std::string& site) {
    for (const SiteRow& row : app.state().sites) {
        if (row.site.name == site) {
            const std::string id = row.id; // the list is read anew while the visit starts
            app.act(StartVisit{id});
            return;
        }
    }
}

/// Goes on with this visit until the stage is reached.
bool go_on(App& app, const CaseFile& file, Stage stage) {
    for (int i = 0; i < most_events && app.state().scene.stage != stage; ++i) {
        const auto what = next_event(file, app.pack(), app.state().scene);
        if (!what) return false;
        app.act(Say{*what});
    }
    return app.state().scene.stage == stage;
}

std::function<bool(App&, const Demo&)> stage_of_demo(Stage stage) {
    return [stage](App& app, const Demo& demo) {
        const DemoVisit* visit = played_visit(demo);
        if (visit == nullptr) return false;
        start_visit(app, visit->site);
        return go_on(app, visit->file, stage);
    };
}

/// Some steps of the fix ticked, so that the picture shows both kinds.
bool reach_fix(App& app, const Demo& demo) {
    if (!stage_of_demo(Stage::fix)(app, demo)) return false;
    const std::string cause = app.pack().causes[*app.state().scene.cause].id;
    app.act(Say{StepTicked{cause, 0, true}});
    return true;
}

/// A pump that runs but gives little is measured sooner or later.
bool reach_measure(App& app, const Demo& demo) {
    CaseFile file;
    file.first_told = {"complaint"};
    file.answers = {{"complaint", "less_at_tank"}, {"beat_now", "steady"}, {"onset", "weeks_or_months"},
                    {"beat_sound", "usual_knock"}, {"shut_seep", "weep"}};
    start_visit(app, demo.sites.front().site.name);
    return go_on(app, file, Stage::measure);
}

bool reach_stop(App& app, const Demo& demo) {
    start_visit(app, demo.sites.front().site.name);
    app.act(Say{Answered{"creek_level", "flood", true}});
    return app.state().scene.stage == Stage::stop_first;
}

bool reach_record(App& app, const Demo&) {
    app.act(Show{Screen::log});
    const auto& log = app.state().log;
    const auto row = std::find_if(log.begin(), log.end(), [](const VisitRow& r) { return r.events > 15; });
    if (row == log.end()) return false;
    app.act(ReadRecord{row->id});
    return true;
}

} // namespace

const std::vector<NamedScreen>& named_screens() {
    static const std::vector<NamedScreen> screens = {
        {"sites", [](App& app, const Demo&) { app.act(Show{Screen::sites}); return true; }},
        {"site", [](App& app, const Demo&) { app.act(ShowSite{app.state().sites.front().id}); return true; }},
        {"edit", [](App& app, const Demo&) { app.act(EditSite{app.state().sites.front().id}); return true; }},
        {"keypad",
         [](App& app, const Demo&) {
             app.act(EditSite{app.state().sites.front().id});
             app.act(EditField{"fall_m"});
             return true;
         }},
        {"first_sight", stage_of_demo(Stage::first_sight)},
        {"question", stage_of_demo(Stage::ask)},
        {"measure", reach_measure},
        {"stop", reach_stop},
        {"finding", stage_of_demo(Stage::finding)},
        {"check", stage_of_demo(Stage::check)},
        {"fix", reach_fix},
        {"proof", stage_of_demo(Stage::proof_measure)},
        {"look", stage_of_demo(Stage::proof_look)},
        {"verdict", stage_of_demo(Stage::verdict)},
        {"ended", stage_of_demo(Stage::ended)},
        {"log", [](App& app, const Demo&) { app.act(Show{Screen::log}); return true; }},
        {"record", reach_record},
        {"choices", [](App& app, const Demo&) { app.act(Show{Screen::choices}); return true; }},
    };
    return screens;
}

Result<std::unique_ptr<DemoApp>> DemoApp::make(const Pack& pack, const Demo& demo) {
    Result<Store> store = Store::open(":memory:");
    if (!store) return store.error();
    std::unique_ptr<DemoApp> made(new DemoApp(std::move(*store)));
    if (const Outcome filled = fill_log(demo, pack, made->store_); !filled) return filled.error();
    DemoApp* const self = made.get();
    made->app_ = std::make_unique<App>(pack, Services{&made->store_, [] { return picture_day; },
                                                      [self] {
                                                          std::array<std::uint8_t, 16> id{};
                                                          id[15] = static_cast<std::uint8_t>(++self->ids_);
                                                          return id;
                                                      }});
    made->app_->start();
    return made;
}

} // namespace beckhand
