#include "platform/desktop/pictures.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "app/handover/read_back.h"
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

/// The first step of the fix done, or skipped, and the others open.
bool reach_fix(App& app, const Demo& demo, bool first_done) {
    if (!stage_of_demo(Stage::fix)(app, demo)) return false;
    const std::string cause = app.pack().causes[*app.state().scene.cause].id;
    app.act(Say{StepTicked{cause, 0, first_done}});
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

/// Asked of somebody who never saw a pump.
bool reach_newcomer(App& app, const Demo& demo) {
    app.act(SetPerson{Person::newcomer, false});
    start_visit(app, demo.sites.front().site.name);
    app.act(Say{Began{}});
    return app.state().scene.stage == Stage::ask;
}

/// Arrived at a site that somebody else looks after.
bool reach_helper_arrives(App& app, const Demo& demo) {
    app.act(SetPerson{Person::helper, false});
    start_visit(app, demo.sites.front().site.name);
    return app.state().scene.stage == Stage::first_sight;
}

/// Asked of somebody who was shown how it works, and then what is easier to see.
bool reach_helper(App& app, const Demo& demo) {
    if (!reach_helper_arrives(app, demo)) return false;
    app.act(Say{Answered{"beat_now", "stopped_open", true}});
    app.act(Say{Began{}});
    return app.state().scene.stage == Stage::ask;
}

bool reach_easier(App& app, const Demo& demo) {
    if (!reach_helper(app, demo)) return false;
    for (int asked = 0; asked < 8 && app.state().scene.stage == Stage::ask; ++asked) {
        if (app.state().scene.offer.easier_than) return true;
        const Observation& observation = app.pack().observations[*app.state().scene.observation];
        for (const Answer& answer : observation.answers) {
            if (answer.cannot) {
                app.act(Say{Answered{observation.id, answer.id, false}});
                break;
            }
        }
    }
    return false;
}

/// The check of what nearly all speaks for comes out against it.
bool reach_doubt(App& app, const Demo& demo) {
    start_visit(app, demo.sites.front().site.name);
    app.act(Say{Began{}});
    for (const auto& [observation, answer] : {std::pair("screen_face", "matted"), std::pair("onset", "days"),
                                              std::pair("hand_start", "dies_open"), std::pair("water_look", "leafy_or_weedy")}) {
        app.act(Say{Answered{observation, answer, false}});
    }
    app.act(Say{FixChosen{"screen_matted"}});
    app.act(Say{Checked{"screen_matted", CheckResult::no}});
    return !app.state().scene.doubts.does_not_fit.empty();
}

/// Nothing is found by any check, until something is done once more at this stage. Of the answers to a question the first
/// or the second is given in turn, or none where `silent`.
bool once_more(App& app, Stage stage, bool silent) {
    for (int i = 0; i < most_events && app.state().scene.stage != Stage::ended; ++i) {
        const Scene& scene = app.state().scene;
        if (scene.offer.again && scene.stage == stage) return true;
        std::optional<Happening> what = next_event(CaseFile{}, app.pack(), scene);
        if (scene.stage == Stage::check) {
            what = Checked{app.pack().causes[*scene.cause].id, CheckResult::no};
        } else if (scene.stage == Stage::ask && !silent) {
            const Observation& asked = app.pack().observations[*scene.observation];
            what = Answered{asked.id, asked.answers[static_cast<std::size_t>(i) % 2].id, false};
        }
        if (!what) return false;
        app.act(Say{*what});
    }
    return false;
}

bool reach_question_again(App& app, const Demo& demo) {
    start_visit(app, demo.sites.front().site.name);
    return once_more(app, Stage::ask, false);
}

bool reach_finding_again(App& app, const Demo& demo) { return reach_doubt(app, demo) && once_more(app, Stage::finding, true); }

/// A finding held with little belief: nobody can tell anything.
bool reach_weak(App& app, const Demo& demo) {
    start_visit(app, demo.sites.front().site.name);
    return go_on(app, CaseFile{}, Stage::finding);
}

bool reach_unchecked(App& app, const Demo& demo) {
    if (!reach_weak(app, demo)) return false;
    const std::string cause = app.pack().causes[*app.state().scene.cause].id;
    app.act(Say{FixChosen{cause}});
    app.act(Say{Checked{cause, CheckResult::could_not}});
    return app.state().scene.stage == Stage::unchecked;
}

/// Repaired, and nothing could be measured or looked at since.
bool reach_not_proved(App& app, const Demo& demo) {
    return reach_unchecked(app, demo) && go_on(app, CaseFile{}, Stage::verdict);
}

bool reach_open_end(App& app, const Demo& demo) {
    if (!reach_not_proved(app, demo)) return false;
    for (int i = 0; i < most_events && app.state().scene.stage != Stage::ended; ++i) {
        const Scene& scene = app.state().scene;
        const auto what = scene.stage == Stage::finding
                              ? Happening(SetAside{app.pack().causes[*scene.cause].id, Aside::not_now})
                              : next_event(CaseFile{}, app.pack(), scene).value_or(Closed{});
        app.act(Say{what});
    }
    return !app.state().scene.visit.closed;
}

/// A valve that rests shut, with water pouring from it.
bool reach_clash(App& app, const Demo& demo) {
    start_visit(app, demo.sites.front().site.name);
    app.act(Say{Answered{"beat_now", "stopped_shut", true}});
    app.act(Say{Began{}});
    app.act(Say{Answered{"waste_splash", "sheet_all_time", false}});
    return app.state().scene.stage == Stage::clash;
}

bool reach_stop(App& app, const Demo& demo) {
    start_visit(app, demo.sites.front().site.name);
    app.act(Say{Answered{"creek_level", "flood", true}});
    return app.state().scene.stage == Stage::stop_first;
}

/// The site where a rubber wore through, with every kind of point on its chart.
bool reach_trend(App& app, const Demo& demo) {
    for (const SiteRow& row : app.state().sites) {
        if (row.site.name != demo.sites.back().site.name) continue;
        const std::string id = row.id;
        app.act(ShowTrend{id});
        return true;
    }
    return false;
}

bool reach_round(App& app, const Demo& demo) {
    if (!reach_trend(app, demo)) return false;
    app.act(BeginRound{});
    app.act(TickService{"snifter_wire"});
    return app.state().screen == Screen::round;
}

/// A way of measuring a figure of the first site's sheet.
bool reach_way(App& app, const std::string& field, Way way) {
    app.act(EditSite{app.state().sites.front().id});
    app.act(EditField{field});
    app.act(HelpMeasure{});
    app.act(ChooseWay{way});
    return app.state().screen == Screen::measuring;
}

void type_slot(App& app, const std::string& key, const std::string& text) {
    app.act(TypeSlot{key});
    for (const char sign : text) app.act(Press{kit::KeypadPress::digit, sign});
    app.act(Press{kit::KeypadPress::accept, 0});
}

bool reach_ways(App& app, const Demo&) {
    app.act(EditSite{app.state().sites.front().id});
    app.act(EditField{"source_flow_lpm"});
    app.act(HelpMeasure{});
    return app.state().screen == Screen::measuring;
}

/// A beat of 63 a minute, tapped by a hand that is a little off each time.
bool reach_tapping(App& app, int taps) {
    if (!reach_way(app, "beat_per_min", Way::tapped)) return false;
    constexpr std::array<double, 5> off{0.02, -0.03, 0.01, 0.04, -0.02};
    for (int i = 0; i < taps; ++i) app.act(Struck{{10 + i * 60 / 63.0 + off[static_cast<std::size_t>(i * 7 % 5)]}});
    return true;
}

bool reach_listening(App& app, const Demo&) {
    if (!reach_way(app, "beat_per_min", Way::by_ear)) return false;
    constexpr double rate = 16000, beat = 60 / 63.0;
    std::vector<float> sound(static_cast<std::size_t>(31 * rate));
    for (std::size_t i = 0; i < sound.size(); ++i) {
        const double t = std::fmod(static_cast<double>(i) / rate, beat), hiss = std::sin(static_cast<double>(i * i % 9973));
        sound[i] = static_cast<float>(0.4 * std::exp(-t * 40) * std::sin(5000 * t) + 0.02 * hiss);
    }
    app.hear(sound, rate);
    return true;
}

bool reach_bucket(App& app, const Demo&) {
    if (!reach_way(app, "source_flow_lpm", Way::bucket)) return false;
    type_slot(app, "volume", "10");
    app.act(Struck{{1, 14.2, 30, 43.4, 60, 72.9, 90}});
    return true;
}

bool reach_hose(App& app, const Demo&) {
    if (!reach_way(app, "fall_m", Way::hose)) return false;
    type_slot(app, "drop_1", "1.32");
    type_slot(app, "drop_2", "0.94");
    return true;
}

bool reach_gauge(App& app, const Demo&) {
    if (!reach_way(app, "lift_m", Way::gauge)) return false;
    type_slot(app, "reading", "1.4");
    type_slot(app, "range", "4");
    return true;
}

bool reach_notch(App& app, const Demo&) {
    if (!reach_way(app, "source_flow_lpm", Way::notch)) return false;
    type_slot(app, "head", "75");
    return true;
}

bool reach_float(App& app, const Demo&) {
    if (!reach_way(app, "source_flow_lpm", Way::floated)) return false;
    for (const auto& [key, text] : {std::pair("distance", "5"), std::pair("time_1", "14"), std::pair("time_2", "15"), std::pair("time_3", "13"),
                                    std::pair("width", "0.6"), std::pair("depth_1", "60"), std::pair("depth_2", "90"), std::pair("depth_3", "70")}) {
        type_slot(app, key, text);
    }
    return true;
}

bool reach_record(App& app, const Demo&) {
    app.act(Show{Screen::log});
    const auto& log = app.state().log;
    const auto row = std::find_if(log.begin(), log.end(), [](const VisitRow& r) { return r.events > 15; });
    if (row == log.end()) return false;
    app.act(ReadRecord{row->id});
    return true;
}

/// The demo's visit, open at its check, and its site handed on.
bool reach_brief(App& app, const Demo& demo) {
    if (!stage_of_demo(Stage::check)(app, demo)) return false;
    app.act(ShowBrief{app.state().scene.visit.site_id});
    return app.state().screen == Screen::handover;
}

bool reach_brief_routine(App& app, const Demo&) {
    app.act(ShowBrief{app.state().sites.front().id});
    return app.state().screen == Screen::handover;
}

bool reach_hand_to(App& app, const Demo& demo) {
    if (!reach_brief(app, demo)) return false;
    app.act(ShowHandoverPage{HandoverOnScreen::Page::who});
    app.act(NameReceiver{"M. K., helper"});
    return true;
}

ReadBackQuestion asked_now(const App& app) {
    const HandoverOnScreen& now = app.state().handover;
    return read_back_question(app.pack(), now.brief, now.handover->next_topic(), now.handover->said_back.size());
}

/// So many answered right.
bool reach_read_back(App& app, const Demo& demo, int answered) {
    if (!reach_hand_to(app, demo)) return false;
    app.act(HandOn{});
    for (int i = 0; i < answered; ++i) app.act(SayBack{asked_now(app).right});
    return app.state().handover.handover.has_value();
}

bool reach_read_back_missed(App& app, const Demo& demo) {
    if (!reach_read_back(app, demo, 1)) return false;
    const ReadBackQuestion asked = asked_now(app);
    app.act(SayBack{asked.right == 0 ? std::size_t{1} : std::size_t{0}});
    return !app.state().handover.wrong.empty();
}

} // namespace

const std::vector<NamedScreen>& named_screens() {
    static const std::vector<NamedScreen> screens = {
        {"sites", [](App& app, const Demo&) { app.act(Show{Screen::sites}); return true; }},
        {"site", [](App& app, const Demo&) { app.act(ShowSite{app.state().sites.front().id}); return true; }},
        {"codes",
         [](App& app, const Demo&) {
             app.act(ShowSite{app.state().sites.front().id});
             app.act(ShowCodes{app.state().site_id});
             return app.state().screen == Screen::codes;
         }},
        {"edit", [](App& app, const Demo&) { app.act(EditSite{app.state().sites.front().id}); return true; }},
        {"keypad",
         [](App& app, const Demo&) {
             app.act(EditSite{app.state().sites.front().id});
             app.act(EditField{"fall_m"});
             return true;
         }},
        {"trend", reach_trend},
        {"round", reach_round},
        {"first_sight", stage_of_demo(Stage::first_sight)},
        {"question", stage_of_demo(Stage::ask)},
        {"question_newcomer", reach_newcomer},
        {"helper_arrives", reach_helper_arrives},
        {"question_helper", reach_helper},
        {"question_easier", reach_easier},
        {"question_again", reach_question_again},
        {"finding_again", reach_finding_again},
        {"doubt", reach_doubt},
        {"clash", reach_clash},
        {"measure", reach_measure},
        {"stop", reach_stop},
        {"finding", stage_of_demo(Stage::finding)},
        {"finding_weak", reach_weak},
        {"check", stage_of_demo(Stage::check)},
        {"unchecked", reach_unchecked},
        {"read_first", stage_of_demo(Stage::fix)},
        {"fix", [](App& app, const Demo& demo) { return reach_fix(app, demo, true); }},
        {"fix_skipped", [](App& app, const Demo& demo) { return reach_fix(app, demo, false); }},
        {"proof", stage_of_demo(Stage::proof_measure)},
        {"look", stage_of_demo(Stage::proof_look)},
        {"verdict", stage_of_demo(Stage::verdict)},
        {"not_proved", reach_not_proved},
        {"ended_open", reach_open_end},
        {"ended", stage_of_demo(Stage::ended)},
        {"log", [](App& app, const Demo&) { app.act(Show{Screen::log}); return true; }},
        {"record", reach_record},
        {"brief", reach_brief},
        {"brief_routine", reach_brief_routine},
        {"hand_to", reach_hand_to},
        {"read_back", [](App& app, const Demo& demo) { return reach_read_back(app, demo, 0); }},
        {"read_back_figure", [](App& app, const Demo& demo) { return reach_read_back(app, demo, 1); }},
        {"read_back_next", [](App& app, const Demo& demo) { return reach_read_back(app, demo, 2); }},
        {"read_back_missed", reach_read_back_missed},
        {"handed_over", [](App& app, const Demo& demo) { return reach_read_back(app, demo, 3); }},
        {"glass", [](App& app, const Demo&) { app.act(Show{Screen::glass}); return true; }},
        {"ways", reach_ways},
        {"tapping_begun", [](App& app, const Demo&) { return reach_tapping(app, 0); }},
        {"tapping", [](App& app, const Demo&) { return reach_tapping(app, 26); }},
        {"listening", reach_listening},
        {"bucket", reach_bucket},
        {"hose", reach_hose},
        {"staff", [](App& app, const Demo&) { return reach_way(app, "fall_m", Way::staff); }},
        {"gauge", reach_gauge},
        {"notch", reach_notch},
        {"float", reach_float},
        {"choices", [](App& app, const Demo&) { app.act(Show{Screen::choices}); return true; }},
    };
    return screens;
}

Result<std::vector<LogEntry>> demo_year(const Pack& pack, const Demo& demo) {
    Result<Store> store = Store::open(":memory:");
    if (!store) return store.error();
    if (const Outcome filled = fill_log(demo, pack, *store); !filled) return filled.error();
    return store->entries();
}

Result<std::unique_ptr<DemoApp>> DemoApp::make(const Pack& pack, const Demo& demo, std::span<const LogEntry> year) {
    Result<Store> store = Store::open(":memory:");
    if (!store) return store.error();
    std::unique_ptr<DemoApp> made(new DemoApp(std::move(*store)));
    if (year.empty()) {
        if (const Outcome filled = fill_log(demo, pack, made->store_); !filled) return filled.error();
    } else if (const auto taken = made->store_.take_in(year); !taken) {
        return taken.error();
    }
    DemoApp* const self = made.get();
    Services services{&made->store_, [] { return picture_day; },
                      [self] {
                          std::array<std::uint8_t, 16> id{};
                          id[15] = static_cast<std::uint8_t>(++self->ids_);
                          return id;
                      }};
    services.key = []() -> Result<bundle::DeviceKey> { return bundle::device_key(std::array<std::uint8_t, 32>{1}); };
    made->app_ = std::make_unique<App>(pack, std::move(services));
    made->app_->start();
    return made;
}

} // namespace beckhand
