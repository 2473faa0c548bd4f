// The commands that draw: the window, pictures, and the choice of what to open when nothing is said.
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <iostream>

#include <unistd.h>

#include "platform/desktop/commands.h"
#include "platform/desktop/drawings_sheet.h"
#include "platform/desktop/embedded.h"
#include "platform/desktop/logging.h"
#include "platform/desktop/picture.h"
#include "platform/desktop/pictures.h"
#include "platform/desktop/run.h"
#include "platform/desktop/session.h"

namespace beckhand {
namespace {

struct Sheet {
    Pack pack;
    Demo demo;
    std::unique_ptr<kit::Kit> kit;
};

Result<Sheet> sheet_for(const Options& options) {
    Result<Pack> pack = load_pack(options);
    if (!pack) return pack.error();
    Result<Demo> demo = read_demo(std::string(embedded_demo()), "demo.toml", *pack);
    if (!demo) return demo.error();
    Sheet sheet{std::move(*pack), std::move(*demo), kit_with_letters()};
    return sheet;
}

/// An app of its own that stands at this screen, with all that is worked out beside the drawing of lists and sheets.
/// A visit is drawn as it stands before that: its answers came faster.
Result<std::unique_ptr<DemoApp>> stand_at(const Sheet& sheet, const NamedScreen& screen, const Options& options,
                                          kit::Theme theme, std::span<const LogEntry> year = {}) {
    Result<std::unique_ptr<DemoApp>> demo = DemoApp::make(sheet.pack, sheet.demo, year);
    if (!demo) return demo.error();
    App& app = (*demo)->app();
    if (options.units == "us") app.act(SetUnits{Units::us});
    app.act(SetTheme{theme});
    if (!screen.reach(app, sheet.demo)) {
        return Problem{screen.name, "The demo has no way to this screen.", "Look at the demo scenario."};
    }
    while (app.state().screen != Screen::visit && app.work()) {}
    return demo;
}

constexpr const char* all_drawings = "drawings";
constexpr const char* one_question = "question:"; // and the id of an observation

std::optional<std::size_t> question_named(const Pack& pack, const std::string& screen) {
    if (!screen.starts_with(one_question)) return std::nullopt;
    const std::string id = screen.substr(std::string(one_question).size());
    const Observation* const found = find_observation(pack, id);
    return found != nullptr ? std::optional(index_of(pack.observations, found)) : std::nullopt;
}

/// The question of any observation, in the demo's visit.
Outcome draw_question(Sheet& sheet, std::size_t observation, const PictureSize& size, const std::string& out) {
    Result<std::unique_ptr<DemoApp>> demo = DemoApp::make(sheet.pack, sheet.demo);
    if (!demo) return demo.error();
    App& app = (*demo)->app();
    app.act(StartVisit{app.state().sites.front().id});
    while (app.work()) {}
    State state = app.state();
    state.scene.stage = Stage::ask;
    state.scene.observation = observation;
    return draw_picture(*sheet.kit, size, [&] { (void)view(state, sheet.pack, *sheet.kit); }, out);
}

std::optional<PictureSize> size_of(const std::string& text) {
    PictureSize size;
    char x = 0;
    if (std::sscanf(text.c_str(), "%d%c%d", &size.width, &x, &size.height) != 3 || x != 'x') return std::nullopt;
    const bool sensible = size.width >= 240 && size.height >= 240 && size.width <= 4096 && size.height <= 4096;
    return sensible ? std::optional(size) : std::nullopt;
}

bool has_display() { return std::getenv("DISPLAY") != nullptr || std::getenv("WAYLAND_DISPLAY") != nullptr; }

Outcome show_window(Session& session) {
    const auto kit = kit_with_letters();
    WindowChoice choice;
    choice.touched = [&session] { session.hush(); };
    return run_window(session.app(), *kit, choice);
}

} // namespace

int command_window(const Options& options) {
    auto session = Session::open(options);
    if (!session) return complain(session.error(), 1);
    const Outcome done = show_window(**session);
    offer_to_save(**session, std::cin, std::cout);
    return done ? 0 : complain(done.error(), 1);
}

int command_picture(const Options& options, const std::string& screen, const std::string& size, double scale,
                    const std::string& out) {
    auto wanted = size_of(size);
    if (!wanted) {
        return complain({size, "This is not a size.", "Write width x height, 240 to 4096, such as 412x915."}, 2);
    }
    wanted->scale = static_cast<float>(scale);
    auto sheet = sheet_for(options);
    if (!sheet) return complain(sheet.error(), 1);
    if (screen == all_drawings) {
        const Outcome drawn = draw_drawings_sheet(*sheet->kit, sheet->pack, std::nullopt, wanted->scale, out);
        return drawn ? 0 : complain(drawn.error(), 1);
    }
    if (const std::optional<std::size_t> observation = question_named(sheet->pack, screen)) {
        const Outcome drawn = draw_question(*sheet, *observation, *wanted, out);
        return drawn ? 0 : complain(drawn.error(), 1);
    }
    std::string names = std::string(all_drawings) + ", " + one_question + "ID";
    for (const NamedScreen& named : named_screens()) {
        if (named.name == screen) {
            const auto demo = stand_at(*sheet, named, options, kit::Theme::paper);
            if (!demo) return complain(demo.error(), 1);
            const Outcome drawn =
                draw_picture(*sheet->kit, *wanted, [&] { (*demo)->app().frame(*sheet->kit); }, out);
            return drawn ? 0 : complain(drawn.error(), 1);
        }
        names += ", " + named.name;
    }
    return complain({screen, "There is no screen of this name.", "There are: " + names + "."}, 2);
}

int command_all_pictures(const Options& options, double scale, const std::string& folder) {
    auto sheet = sheet_for(options);
    if (!sheet) return complain(sheet.error(), 1);
    std::error_code failed;
    std::filesystem::create_directories(folder, failed);
    struct Size {
        const char* name;
        int columns, smaller; // of the contact sheet
    };
    constexpr Size sizes[] = {{"360x780", 10, 2}, {"412x915", 10, 2}, {"800x1280", 10, 4}, {"1280x800", 7, 4}};
    const auto year = demo_year(sheet->pack, sheet->demo);
    if (!year) return complain(year.error(), 1);
    std::vector<std::unique_ptr<DemoApp>> apps;
    int left_out = 0;
    for (const NamedScreen& named : named_screens()) {
        auto demo = stand_at(*sheet, named, options, kit::Theme::paper, *year);
        if (!demo) {
            std::printf("%s\n", demo.error().sentence().c_str());
            ++left_out;
        }
        apps.push_back(demo ? std::move(*demo) : nullptr);
    }
    for (const Size& one : sizes) { // letters are loaded once for each
        PictureSize size = *size_of(one.name);
        size.scale = static_cast<float>(scale);
        std::vector<Pixels> drawn;
        const auto keep = [&](const Pixels& pixels, const std::string& name) {
            const std::string out = folder + "/" + name + "-" + one.name + ".png";
            const Outcome written = write_png(pixels, out);
            std::printf("%s\n", written ? out.c_str() : written.error().sentence().c_str());
            left_out += written ? 0 : 1;
        };
        for (std::size_t i = 0; i < apps.size(); ++i) {
            if (!apps[i]) continue;
            auto pixels = draw_pixels(*sheet->kit, size, [&] { apps[i]->app().frame(*sheet->kit); });
            if (!pixels) return complain(pixels.error(), 1);
            keep(*pixels, named_screens()[i].name);
            drawn.push_back(std::move(*pixels));
        }
        keep(contact_sheet(drawn, one.columns, one.smaller), "all");
    }
    return left_out == 0 ? 0 : 1;
}

int command_default(const Options& options) {
    if (has_display()) {
        auto session = Session::open(options);
        if (!session) return complain(session.error(), 1);
        const Outcome done = show_window(**session);
        offer_to_save(**session, std::cin, std::cout);
        if (done) return 0;
        // A display that is named but not there: go on without it, and say why.
        complain(done.error(), 1);
    }
    if (isatty(STDIN_FILENO) != 0 && isatty(STDOUT_FILENO) != 0) {
        return command_visit(options, "", "");
    }
    return command_demo(options, false);
}

} // namespace beckhand
