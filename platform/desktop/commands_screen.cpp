// The commands that draw: the window, pictures, and the choice of what to open when nothing is said.
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <iostream>

#include <unistd.h>

#include "platform/desktop/commands.h"
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

Outcome draw_screen(Sheet& sheet, const NamedScreen& screen, const Options& options, const PictureSize& size,
                    kit::Theme theme, const std::string& out) {
    Result<std::unique_ptr<DemoApp>> demo = DemoApp::make(sheet.pack, sheet.demo);
    if (!demo) return demo.error();
    App& app = (*demo)->app();
    if (options.units == "us") app.act(SetUnits{Units::us});
    app.act(SetTheme{theme});
    if (!screen.reach(app, sheet.demo)) {
        return Problem{screen.name, "The demo has no way to this screen.", "Look at the demo scenario."};
    }
    while (app.work()) {}
    sheet.kit->set_theme(theme);
    return draw_picture(*sheet.kit, size, [&] { app.frame(*sheet.kit); }, out);
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
    std::string names;
    for (const NamedScreen& named : named_screens()) {
        if (named.name == screen) {
            const Outcome drawn = draw_screen(*sheet, named, options, *wanted, kit::Theme::paper, out);
            return drawn ? 0 : complain(drawn.error(), 1);
        }
        names += (names.empty() ? "" : ", ") + named.name;
    }
    return complain({screen, "There is no screen of this name.", "There are: " + names + "."}, 2);
}

int command_all_pictures(const Options& options, double scale, const std::string& folder) {
    auto sheet = sheet_for(options);
    if (!sheet) return complain(sheet.error(), 1);
    std::error_code failed;
    std::filesystem::create_directories(folder, failed);
    int left_out = 0;
    for (const char* text : {"412x915", "1280x800"}) {
        PictureSize size = *size_of(text);
        size.scale = static_cast<float>(scale);
        for (const NamedScreen& named : named_screens()) {
            const std::string out = folder + "/" + named.name + "-" + text + ".png";
            const Outcome drawn = draw_screen(*sheet, named, options, size, kit::Theme::paper, out);
            std::printf("%s\n", drawn ? out.c_str() : drawn.error().sentence().c_str());
            left_out += drawn ? 0 : 1;
        }
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
