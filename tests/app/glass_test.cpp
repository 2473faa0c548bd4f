// Sizes fitted to a glass that does not know its own, by a bank card.
#include "app/app.h"
#include "app/glass.h"
#include "app/kit/edges.h"
#include "app/settings.h"
#include "tests/app/kit_audit.h"
#include "tests/support/shipped_pack.h"

using namespace beckhand;
using namespace beckhand::kit;

TEST_CASE("the lines are a card's short side apart, by the glass's own millimetre") {
    Kit kit(embedded_regular(), embedded_bold());
    // A glass of 10 dots a millimetre that says 8: at 125 % the lines are right.
    for (const int percent : {100, 125}) {
        const float px_per_mm = 8.0f * static_cast<float>(percent) / 100.0f;
        kit.set_size(1000, 1600, px_per_mm, 1.0f);
        Box between;
        Hand hand{kit, [&] {
                      kit.begin_screen("glass", "Sizes");
                      kit.main();
                      between = draw_edges(kit, card_short_mm, "card");
                      kit.end_screen();
                  }};
        hand.settle();
        const bool right = std::abs(between.w / 10.0f - card_short_mm) < 0.1f;
        CHECK(right == (percent == 125));
    }
}

TEST_CASE("what was fitted is kept between starts, and nonsense is not") {
    Result<Store> store = Store::open(":memory:");
    REQUIRE(store);
    App app(tests::shipped_pack(), {&*store, [] { return Instant{}; }, [] { return std::array<std::uint8_t, 16>{}; }});
    app.start();
    CHECK(app.state().glass_percent == 100);
    app.act(Show{Screen::glass});
    for (int i = 0; i < 5; ++i) app.act(SetGlass{app.state().glass_percent + 2});
    CHECK(read_settings(*store)->glass_percent == 110);
    app.act(SetGlass{5000});
    CHECK(read_settings(*store)->glass_percent == most_glass_percent);
    app.act(Back{});
    CHECK(app.state().screen == Screen::choices);
    for (const char* const nonsense : {"", "0", "-4", "1e9", "large", "99 "}) {
        store->save_setting(glass_key, nonsense, [](const Outcome&) {});
        CHECK(read_settings(*store)->glass_percent == 100);
    }
}
