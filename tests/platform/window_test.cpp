// The window without a display, and pictures: nothing is drawn at rest, fingers reach the buttons, and the
// same screen gives the same bytes.
#include <doctest/doctest.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>

#include <SDL.h>

#include "platform/desktop/embedded.h"
#include "platform/desktop/picture.h"
#include "platform/desktop/window.h"

using namespace beckhand;

namespace {

std::string bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// Draws one button; counts its presses.
std::function<bool(kit::Kit&)> one_button(int& presses, kit::Box& where) {
    return [&](kit::Kit& kit) {
        kit.begin_screen("s", "One button");
        kit.main();
        const bool pressed = kit.answer("a", "Press me");
        presses += pressed ? 1 : 0;
        kit.end_screen();
        where = kit.controls().back().box;
        return pressed;
    };
}

void push_finger(Uint32 type, float x, float y) {
    SDL_Event event{};
    event.type = type;
    event.tfinger.fingerId = 1;
    event.tfinger.x = x;
    event.tfinger.y = y;
    SDL_PushEvent(&event);
}

} // namespace

TEST_CASE("at rest nothing is drawn, and a touch is heard") {
    setenv("SDL_VIDEODRIVER", "dummy", 1);
    auto window = Window::open({412, 915, 6.3f});
    if (!window)
        FAIL(window.error().sentence());
    kit::Kit kit(embedded_regular(), embedded_bold());
    int presses = 0;
    kit::Box box;
    const auto draw = one_button(presses, box);
    const auto run = [&](double seconds) {
        const Uint64 until = SDL_GetTicks64() + static_cast<Uint64>(seconds * 1000);
        while (SDL_GetTicks64() < until)
            REQUIRE((*window)->step(kit, {}, draw, 0.05));
    };
    run(0.5);
    const long drawn = (*window)->frames();
    CHECK(drawn >= 3);
    run(1.0);
    CHECK((*window)->frames() == drawn);

    const float x = (box.x + box.w / 2) / 412.0f, y = (box.y + box.h / 2) / 915.0f;
    push_finger(SDL_FINGERDOWN, x, y);
    run(0.1);
    push_finger(SDL_FINGERUP, x, y);
    run(0.3);
    CHECK(presses == 1);
    const long after = (*window)->frames();
    run(0.5);
    CHECK((*window)->frames() == after);

    SDL_Event quit{};
    quit.type = SDL_QUIT;
    SDL_PushEvent(&quit);
    bool open = true;
    for (int i = 0; i < 10 && open; ++i)
        open = (*window)->step(kit, {}, draw, 0.05);
    CHECK_FALSE(open);
}

TEST_CASE("a picture of the same screen is the same to the byte") {
    const std::string folder = (std::filesystem::temp_directory_path() / "beckhand_pictures").string();
    std::filesystem::create_directories(folder);
    const std::string one = folder + "/one.png", two = folder + "/two.png";
    kit::Kit kit(embedded_regular(), embedded_bold());
    int presses = 0;
    kit::Box box;
    const auto draw = one_button(presses, box);
    PictureSize size;
    REQUIRE(draw_picture(
                kit, size, [&] { (void)draw(kit); }, one)
                .has_value());
    size.width = 1280;
    REQUIRE(draw_picture(
                kit, size, [&] { (void)draw(kit); }, two)
                .has_value());
    CHECK(bytes_of(one) != bytes_of(two));
    size.width = 412;
    REQUIRE(draw_picture(
                kit, size, [&] { (void)draw(kit); }, two)
                .has_value());
    CHECK(bytes_of(one) == bytes_of(two));
    CHECK(bytes_of(one).size() > 1000);
    std::filesystem::remove_all(folder);
}

TEST_CASE("a picture that cannot be written is a sentence, not a crash") {
    kit::Kit kit(embedded_regular(), embedded_bold());
    int presses = 0;
    kit::Box box;
    const auto draw = one_button(presses, box);
    const Outcome outcome = draw_picture(
        kit, {}, [&] { (void)draw(kit); }, "/nowhere/at/all.png");
    REQUIRE_FALSE(outcome.has_value());
    CHECK(outcome.error().sentence().find("/nowhere/at/all.png") != std::string::npos);
}
