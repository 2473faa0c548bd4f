// The program in a browser. main() opens the log and the window and comes back; from then on the page calls
// beckhand_turn when something has happened or is due, and nothing runs in between.
#include <algorithm>
#include <functional>
#include <map>
#include <memory>
#include <span>
#include <string>
#include <utility>

#include <SDL.h>
#include <emscripten/emscripten.h>
#include <nlohmann/json.hpp>

#include "app/terminal/demo.h"
#include "platform/desktop/embedded.h"
#include "platform/desktop/logging.h"
#include "platform/desktop/paths.h"
#include "platform/desktop/work_slice.h"
#include "platform/web/calls.h"
#include "platform/web/program.h"

namespace beckhand {

// There are no words on a command line here: the pack is the one in use on the shelf.
Result<Pack> load_pack(const Options& options) {
    const Result<PackShelf> shelf = PackShelf::open(data_folder_if_there(options.data));
    return shelf ? Result<Pack>(shelf->in_use()) : Result<Pack>(shelf.error());
}

Program& program() {
    static Program* const only = new Program();
    return *only;
}

namespace {

constexpr const char* folder = "/beckhand";   // the page keeps what is in it
constexpr float px_per_mm = 6.3f;             // a phone's; a page is not told the real one

Result<std::string> give_file(const std::string& name, const std::string& bytes) {
    beckhand_give_file(name.c_str(), reinterpret_cast<const std::uint8_t*>(bytes.data()), static_cast<int>(bytes.size()));
    return "given to this device as " + name;
}

void keep(Store::Completion done) {
    Program& p = program();
    const int number = ++p.last_number;
    p.waiting.emplace(number, std::move(done));
    beckhand_keep(number);
}

/// The demo's year, in a log of its own that the page keeps apart.
Outcome fill_with_demo(Session& session) {
    const auto demo = read_demo(std::string(embedded_demo()), "demo.toml", session.pack());
    if (!demo) return demo.error();
    if (const Outcome filled = fill_log(*demo, session.pack(), session.store()); !filled) return filled;
    session.app().start();
    return Done{};
}

Outcome start() {
    Program& p = program();
    Options options;
    options.data = folder;
    auto session = Session::open(options, {give_file, [] { beckhand_sheet(); }});
    if (!session) return session.error();
    p.session = std::move(*session);
    if (beckhand_wants_demo() != 0 && p.session->app().state().sites.empty()) {
        if (const Outcome filled = fill_with_demo(*p.session); !filled) return filled;
    }
    p.session->store().on_written(keep);
    p.kit = std::make_unique<kit::Kit>(embedded_regular(), embedded_bold());
    p.kit->leave_writing(true);   // a phone shows its keyboard for a field of the page alone
    p.kit->let_move(true);        // the page wakes when a drawing asks for its next frame
    const double density = beckhand_density();
    WindowChoice choice;
    choice.dense = density > 0.0;
    choice.px_per_mm = px_per_mm;
    choice.touched = [] { program().session->hush(); };
    auto window = Window::open(choice);
    if (!window) return window.error();
    p.window = std::move(*window);
    SDL_AddEventWatch(
        [](void*, SDL_Event* event) {
            if (event->type == SDL_POLLSENTINEL) return 0;   // SDL's own, at every look
            // A busy page hears late; the browser knows when the finger was there.
            const auto late = static_cast<Uint32>(std::clamp(beckhand_event_age(), 0.0, 5000.0));
            event->common.timestamp -= std::min(late, event->common.timestamp);
            beckhand_due(0);
            return 0;
        },
        nullptr);
    beckhand_keep(0);
    beckhand_due(0);
    return Done{};
}

const char* name_of(Screen screen) {
    switch (screen) {
    case Screen::sites: return "sites";
    case Screen::site_sheet: return "site_sheet";
    case Screen::site_edit: return "site_edit";
    case Screen::trend: return "trend";
    case Screen::round: return "round";
    case Screen::visit: return "visit";
    case Screen::log: return "log";
    case Screen::record: return "record";
    case Screen::handover: return "handover";
    case Screen::codes: return "codes";
    case Screen::choices: return "choices";
    case Screen::glass: return "glass";
    case Screen::measuring: return "measuring";
    }
    return "";
}

void turn() {
    Program& p = program();
    App& app = p.session->app();
    const Look look{app.state().theme, app.state().text_scale, app.state().glass_percent};
    p.window->step(*p.kit, look, [&app](kit::Kit& with) { return app.frame(with); }, 0.0);
    beckhand_more_work();
    if (const auto seconds = p.window->due()) beckhand_due(*seconds);
    beckhand_keep(0);
    if (app.wants_sound() != p.listening) {
        p.listening = !p.listening;
        beckhand_listen(p.listening ? 1 : 0);
    }
    const std::string shown = name_of(app.state().screen);
    const auto as_number = [](kit::Colour colour) { return colour.r << 16 | colour.g << 8 | colour.b; };
    const int ground = as_number(p.kit->palette().paper), ink = as_number(p.kit->palette().ink);
    if (shown != p.shown || ground != p.ground) {
        p.shown = shown;
        p.ground = ground;
        beckhand_shown(shown.c_str(), app.state().screen == Screen::visit ? 1 : 0, ground, ink);
    }
}

} // namespace
} // namespace beckhand

using namespace beckhand;

extern "C" {

EMSCRIPTEN_KEEPALIVE void beckhand_turn() {
    if (program().window) turn();
}

/// Works a while beside the drawing; 1 when there is more to do.
EMSCRIPTEN_KEEPALIVE int beckhand_work() {
    constexpr double shown_every_ms = 250.0;
    Program& p = program();
    if (!p.window) return 0;
    const double began = emscripten_get_now();
    const Worked worked = work_a_slice(p.session->app());
    p.unseen_work = p.unseen_work || worked.any;
    if (p.unseen_work && (!worked.more || began - p.work_seen_ms > shown_every_ms)) {
        p.work_seen_ms = began;
        p.unseen_work = false;
        p.window->redraw();
        beckhand_due(0);
    }
    return worked.more ? 1 : 0;
}

/// A save is on the storages, or for one of them it is not: then the folder is as it was before.
EMSCRIPTEN_KEEPALIVE void beckhand_kept(int number, int well) {
    Program& p = program();
    const auto found = p.waiting.find(number);
    if (found == p.waiting.end()) return;
    const Store::Completion done = std::move(found->second);
    p.waiting.erase(found);
    done(well != 0 ? Outcome(Done{})
                   : Outcome(Problem{"", "The browser did not keep this: it is not saved.",
                                     "Free some space on the device, then do it again; what was saved before is safe."}));
    if (p.window) p.window->redraw();
    beckhand_due(0);
}

/// The page is about to put the folder back to what the storages hold.
EMSCRIPTEN_KEEPALIVE void beckhand_let_go() { program().session->store().let_go(); }

/// A piece of what the microphone hears: one channel, -1 to 1.
EMSCRIPTEN_KEEPALIVE void beckhand_heard(const float* samples, int count, double samples_per_second) {
    Program& p = program();
    if (!p.session->app().wants_sound()) return;
    p.session->app().hear(std::span(samples, static_cast<std::size_t>(count)), samples_per_second);
    if (p.window) p.window->redraw();
    beckhand_due(0);
}

/// There is none, or the person did not allow it.
EMSCRIPTEN_KEEPALIVE void beckhand_cannot_hear(const char* why) {
    Program& p = program();
    p.session->app().cannot_hear(why);
    if (p.window) p.window->redraw();
    beckhand_due(0);
}

/// Something that the person must be told.
EMSCRIPTEN_KEEPALIVE void beckhand_notice(const char* what, const char* hint) {
    Program& p = program();
    p.session->store().put_notice({"", what, hint});
    p.session->app().tell_notice();
    if (p.window) p.window->redraw();
    beckhand_due(0);
}

/// Into the field of the kit with this id.
EMSCRIPTEN_KEEPALIVE void beckhand_write(const char* id, const char* text) {
    program().kit->write_into(id, text);
    if (program().window) program().window->redraw();
    beckhand_due(0);
}

/// Everything on the screen by its meaning, as JSON: what can be read aloud and what tests press.
EMSCRIPTEN_KEEPALIVE const char* beckhand_controls() {
    static std::string text;
    nlohmann::json list = nlohmann::json::array();
    if (program().kit) {
        for (const kit::Control& one : program().kit->controls()) {
            list.push_back({{"screen", one.screen}, {"role", one.role}, {"id", one.id}, {"label", one.label},
                            {"x", one.box.x}, {"y", one.box.y}, {"w", one.box.w}, {"h", one.box.h},
                            {"enabled", one.enabled}, {"chosen", one.chosen}, {"clipped", one.clipped},
                            {"letter", one.letter_px}});
        }
    }
    text = list.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
    return text.c_str();
}

EMSCRIPTEN_KEEPALIVE double beckhand_frames() {
    return program().window ? static_cast<double>(program().window->frames()) : 0.0;
}
}

int main() {
    if (const Outcome started = start(); !started) {
        log_trouble(started.error().sentence());
        emscripten_run_script("Module.page.failed()");
    }
    return 0;
}
