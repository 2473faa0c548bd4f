// Every screen of the program held against the figures of the field: on two phones and a tablet both ways up, in both
// systems of units, in every light, with usual letters and letters twice as large. And bad screens that must be caught.
#include <doctest/doctest.h>

#include <cstdio>
#include <cstdlib>

#include "platform/desktop/embedded.h"
#include "platform/desktop/pictures.h"
#include "platform/desktop/run.h"
#include "tests/screens/audit.h"
#include "tests/support/shipped_pack.h"

using namespace beckhand;
using namespace beckhand::screens;

namespace {

constexpr Glass glasses[] = {{"360x780", 360, 780},
                             {"412x915", 412, 915},
                             {"800x1280", 800, 1280},
                             {"1280x800", 1280, 800},
                             {"360x780 at 200 %", 360, 780, 2.0f},
                             {"412x915 at 200 %", 412, 915, 2.0f},
                             {"800x1280 at 200 %", 800, 1280, 2.0f},
                             {"1280x800 at 200 %", 1280, 800, 2.0f}};

const Demo& demo() {
    static const Demo one = *read_demo(std::string(embedded_demo()), "demo.toml", tests::shipped_pack());
    return one;
}

struct Standing {
    std::string name;
    std::unique_ptr<DemoApp> app;
};

/// Each screen reached once, in an app of its own.
std::vector<Standing> all_screens() {
    const auto year = demo_year(tests::shipped_pack(), demo());
    if (!year) FAIL(year.error().sentence());
    std::vector<Standing> all;
    const char* const only = std::getenv("BECKHAND_SCREEN"); // one of them, when something is to be found out
    for (const NamedScreen& named : named_screens()) {
        if (only != nullptr && named.name != only) continue;
        auto made = DemoApp::make(tests::shipped_pack(), demo(), *year);
        if (!made) FAIL(made.error().sentence());
        App& app = (*made)->app();
        CHECK_MESSAGE(named.reach(app, demo()), "no way to ", named.name);
        while (app.state().screen != Screen::visit && app.work()) {}
        all.push_back({named.name, std::move(*made)});
    }
    return all;
}

/// The findings of one bad screen.
std::string caught(const std::function<void(kit::Kit&)>& draw, Glass glass = glasses[1]) {
    const auto kit = kit_with_letters();
    Audit audit(*kit, glass, "bad", [&] { draw(*kit); });
    audit.everything();
    audit.keys();
    return summary(audit.findings);
}

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

} // namespace

TEST_CASE("every screen keeps the figures of the field at every size, in all units and lights, in letters of any size") {
    const std::vector<Standing> all = all_screens();
    const auto kit = kit_with_letters();
    std::vector<Finding> findings;
    Figures figures;
    const auto keep = [&](Audit& audit) {
        findings.insert(findings.end(), audit.findings.begin(), audit.findings.end());
        merge(figures, audit.figures);
    };
    for (const Glass& glass : glasses) {
        for (const Standing& one : all) {
            App& app = one.app->app();
            app.act(SetTextScale{glass.text_scale});
            for (const Units units : {Units::us, Units::metric}) {
                app.act(SetUnits{units});
                Audit audit(*kit, glass, one.name, [&] { app.frame(*kit); });
                audit.everything();
                if (units == Units::metric) {
                    for (const kit::Theme theme : {kit::Theme::dusk, kit::Theme::night, kit::Theme::paper}) {
                        app.act(SetTheme{theme});
                        audit.colours();
                    }
                    audit.keys();
                }
                keep(audit);
            }
        }
    }
    std::printf("%s", table(figures).c_str());
    CHECK_MESSAGE(findings.empty(), summary(findings));
    CHECK(figures.screens >= 30 * 8 * 2);
}

TEST_CASE("a bad screen is caught, each fault by its rule; a good one is not") {
    const auto frame = [](kit::Kit& kit, const std::function<void()>& inside) {
        kit.begin_screen("bad", "A screen");
        kit.main();
        inside();
        kit.bar();
        (void)kit.bar_button("back", "Back", kit::Slot::left);
        kit.end_screen();
    };
    const auto with = [&](const std::function<void(kit::Kit&)>& inside) {
        return caught([&](kit::Kit& kit) { frame(kit, [&] { inside(kit); }); });
    };
    CHECK(with([](kit::Kit& kit) {
              kit.words(kit::Type::question, "Is all well here?");
              (void)kit.answer("yes", "Yes");
          }) == "");
    // Dots twice as fine as the screen was made for: all is half as large.
    const std::string small = [&] {
        const auto kit = kit_with_letters();
        const auto draw = [&] { frame(*kit, [&] { (void)kit->answer("a", "One"), (void)kit->answer("b", "Two"); }); };
        Audit audit(*kit, glasses[1], "bad", draw);
        kit->set_size(412, 915, 3.15f, 1.0f);
        audit.everything();
        return summary(audit.findings);
    }();
    CHECK(holds(small, "too small to press"));
    CHECK(holds(small, "too near each other"));
    CHECK(holds(small, "too near the edge"));
    CHECK(holds(small, "letters too small"));
    CHECK(holds(with([](kit::Kit& kit) { kit.write(20, 300, kit::Type::body, {200, 200, 200}, "Grey on white"); }), "too faint"));
    CHECK(holds(with([](kit::Kit& kit) { kit.write(20, 300, kit::Type::question, kit.palette().ink, "Much too long for one line of a phone"); }),
                "words cut at the side"));
    CHECK(holds(with([](kit::Kit& kit) {
              kit.write(20, 300, kit::Type::body, kit.palette().ink, "One line");
              kit.write(40, 304, kit::Type::body, kit.palette().ink, "and another");
          }),
          "words over words"));
    CHECK(holds(with([](kit::Kit& kit) { kit.words(kit::Type::question, "Donaudampfschifffahrtsgesellschaft"); }), "a word cut in two"));
    CHECK(holds(with([](kit::Kit& kit) {
              (void)kit.quiet("twice", "One"), (void)kit.quiet("twice", "Other");
          }),
          "two of one id"));
    // The last answer is drawn below where the region thinks that it ends.
    CHECK(holds(caught([](kit::Kit& kit) {
              kit.begin_screen("bad", "A screen");
              kit.bar();
              kit.write(20, 912, kit::Type::body, kit.palette().ink, "Under the glass");
              kit.end_screen();
          }),
          "off the glass"));
    // A frame drawn in two ways: what is registered last lies below what can be scrolled to.
    int frames = 0;
    CHECK(holds(caught([&](kit::Kit& kit) {
              kit.begin_screen("bad", "A screen");
              kit.main();
              for (int i = 0; i < 9; ++i) (void)kit.answer("a" + std::to_string(i), "Answer");
              if (++frames % 2 == 0) (void)kit.answer("more", "Now and then");
              kit.end_screen();
          }),
          "scrolling does not reach it"));
}
