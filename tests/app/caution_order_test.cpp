// A repair shows no step before its cautions were read in full; then their titles stand above the first step, and
// each step's own cautions directly above that step: looked up by place on the drawn screen, for every cause of
// the shipped pack.
#include <algorithm>
#include <cstring>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "app/app.h"
#include "knowledge/compiler/compile.h"

namespace beckhand {
namespace {

std::vector<std::byte> bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    const std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
    std::vector<std::byte> bytes(text.size());
    if (!text.empty()) std::memcpy(bytes.data(), text.data(), text.size());
    return bytes;
}

/// The state of a visit whose check of this cause said yes.
State at_the_fix(const Pack& pack, const Model& model, const std::string& cause) {
    Site site;
    site.name = "Upper spring";
    const std::vector<Happening> said{Opened{"site", site, pack.version, pack.hash}, Began{},
                                      FixChosen{cause}, Checked{cause, CheckResult::yes}};
    State state;
    for (const Happening& what : said) {
        state.events.push_back({static_cast<int>(state.events.size()) + 1, Instant{}, "keeper", what});
    }
    state.screen = Screen::visit;
    state.scene = scene_of(pack, model, fold(state.events));
    return state;
}

bool names(const kit::Control& control, const Caution& caution) {
    return (control.role == "caution" || control.role == "fold") && control.label.find(caution.title) != std::string::npos;
}

} // namespace

TEST_CASE("cautions stand above the steps they guard, for every cause of the shipped pack") {
    const std::string fonts = "/usr/share/fonts/opentype/b612/";
    const std::vector<std::byte> regular = bytes_of(fonts + "B612-Regular.otf");
    const std::vector<std::byte> bold = bytes_of(fonts + "B612-Bold.otf");
    REQUIRE_FALSE(regular.empty());
    REQUIRE_FALSE(bold.empty());
    const auto files = read_folder(std::string(SOURCE_FOLDER) + "/knowledge/pack");
    REQUIRE(files.has_value());
    const Pack pack = compile(*files).pack;
    REQUIRE(pack.causes.size() >= 50);
    const Model model(pack);
    kit::Kit kit(regular, bold);

    int guarded_steps = 0;
    for (const Cause& cause : pack.causes) {
        CAPTURE(cause.id);
        State state = at_the_fix(pack, model, cause.id);
        REQUIRE(state.scene.stage == Stage::fix);
        for (int pass = 0; pass < 3; ++pass) (void)view(state, pack, kit);
        for (const std::string& id : cause.fix.cautions) {
            CAPTURE(id);
            const Caution& caution = *find_caution(pack, id);
            CHECK(std::any_of(kit.controls().begin(), kit.controls().end(), [&](const kit::Control& one) {
                return names(one, caution) && one.label.find(caution.say) != std::string::npos;
            }));
        }
        CHECK(std::none_of(kit.controls().begin(), kit.controls().end(),
                           [](const kit::Control& one) { return one.role == "tick"; }));

        state.cautions_read = cause.id;
        for (int pass = 0; pass < 3; ++pass) (void)view(state, pack, kit);

        // Controls are registered from top to bottom; their places say the same.
        const std::vector<kit::Control>& controls = kit.controls();
        std::vector<std::size_t> steps;
        for (std::size_t i = 0; i < controls.size(); ++i) {
            if (controls[i].role == "tick" && controls[i].id.starts_with("step_")) steps.push_back(i);
        }
        REQUIRE(steps.size() == cause.fix.steps.size());
        REQUIRE_FALSE(steps.empty());
        for (std::size_t i = 1; i < steps.size(); ++i) {
            CHECK(controls[steps[i]].box.y >= controls[steps[i - 1]].box.y + controls[steps[i - 1]].box.h);
        }

        for (const std::string& id : cause.fix.cautions) {
            CAPTURE(id);
            const Caution* const caution = find_caution(pack, id);
            REQUIRE(caution != nullptr);
            bool above = false;
            for (std::size_t i = 0; i < steps[0]; ++i) {
                above = above || (controls[i].role == "fold" && names(controls[i], *caution) && controls[i].box.y < controls[steps[0]].box.y);
            }
            CHECK(above);
        }
        for (std::size_t s = 0; s < steps.size(); ++s) {
            const std::vector<std::string>& cautions = cause.fix.steps[s].cautions;
            guarded_steps += cautions.empty() ? 0 : 1;
            for (const std::string& id : cautions) {
                CAPTURE(s);
                CAPTURE(id);
                const Caution* const caution = find_caution(pack, id);
                REQUIRE(caution != nullptr);
                bool above = false;
                for (std::size_t i = s == 0 ? 0 : steps[s - 1] + 1; i < steps[s]; ++i) {
                    const kit::Control& one = controls[i];
                    const bool named = one.label.find(caution->title) != std::string::npos && one.role != "fold";
                    above = above || (named && one.box.y + one.box.h <= controls[steps[s]].box.y);
                }
                CHECK(above);
            }
        }
    }
    CHECK(guarded_steps > 100);
}

} // namespace beckhand
