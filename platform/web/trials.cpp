// The program tried as on the command line: a case file played, the virtual pump against the clock. For tests, and
// for whoever opens the browser's console.
#include <string>

#include <emscripten/emscripten.h>

#include <nlohmann/json.hpp>

#include "app/terminal/case_file.h"
#include "app/terminal/demo.h"
#include "app/terminal/script.h"
#include "engine/records/event_json.h"
#include "engine/pump/pump.h"
#include "platform/desktop/embedded.h"
#include "platform/web/program.h"

using namespace beckhand;

extern "C" {

/// As `beckhand case FILE --json`.
EMSCRIPTEN_KEEPALIVE const char* beckhand_case(const char* text) {
    static std::string said;
    const Pack& pack = program().session->pack();
    const auto file = read_case(text, "case.toml", pack);
    said = file ? played_json(play_case(*file, pack, Model(pack)), pack) : file.error().sentence();
    return said.c_str();
}

/// What the person of the demo's live visit says to the screen that is shown, as the event's JSON; figures with the
/// digits that are typed. "" when nothing is left to say.
EMSCRIPTEN_KEEPALIVE const char* beckhand_advice() {
    static std::string said;
    static const auto demo = read_demo(std::string(embedded_demo()), "demo.toml", program().session->pack());
    said.clear();
    if (!demo) return said.c_str();
    const Pack& pack = program().session->pack();
    const Scene& scene = program().session->app().state().scene;
    for (const DemoVisit& visit : demo->visits) {
        if (!visit.play) continue;
        const auto what = next_event(visit.file, pack, scene);
        if (!what) break;
        nlohmann::json json = nlohmann::json::parse(to_json(*what));
        json["kind"] = kind_of(*what);
        if (const auto* figure = std::get_if<Measured>(&*what)) {
            const Measurement* const how = find_measurement(pack, figure->measurement);
            const std::string text = how != nullptr ? format_measured(*how, figure->value_si, Units::metric) : "";
            json["typed"] = text.substr(0, text.find(' '));
        }
        said = json.dump();
    }
    return said.c_str();
}

/// Seconds of the virtual pump for each second of this device, over so many of its minutes, at a site of 2 m fall, 14 m
/// lift and 12 m of drive pipe.
EMSCRIPTEN_KEEPALIVE double beckhand_pump_speed(int count) {
    Site site;
    site.fall = metres(2);
    site.lift = metres(14);
    site.drive_length = metres(12);
    site.drive_bore = millimetres(52.5);
    const auto design = design_for(site);
    if (!design) return 0.0;
    RunOptions options;
    options.seconds = 60.0 * count;
    const double before = emscripten_get_now();
    const PumpRun run = simulate(*design, options);
    const double took = (emscripten_get_now() - before) / 1000.0;
    return run.beats > 0 && took > 0.0 ? options.seconds / took : 0.0;
}
}
