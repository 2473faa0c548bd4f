// What the log has proved, brought into a visit that is opened, shown in the choices, and switched off there; and who
// answers. Driven through the program over a real store.
#include <doctest/doctest.h>

#include <algorithm>
#include <memory>
#include <sstream>

#include "app/app.h"
#include "app/log/record_text.h"
#include "app/settings.h"
#include "app/terminal/visit.h"
#include "app/terminal/visit_text.h"
#include "platform/desktop/embedded.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using tests::shipped_pack;

constexpr std::int64_t noon_ms = 1'764'072'000'000; // 25 Nov 2025 12:00 UTC, by `date -d @1764072000`
constexpr std::int64_t day_ms = 86'400'000;

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

struct House {
    Store store = std::move(*Store::open(":memory:"));
    Instant clock{noon_ms};
    std::uint8_t ids = 0;
    std::unique_ptr<App> app;

    House() {
        for (const char* const id : {"upper", "lower"}) {
            SiteRow row;
            row.id = id;
            row.site.name = id;
            row.site.fall = metres(2);
            row.site.lift = metres(14);
            row.site.record.beat = beats_per_minute(50);
            store.save_site(row, clock, [](const Outcome& saved) { REQUIRE(saved.has_value()); });
        }
        restart();
    }
    void restart() {
        app = std::make_unique<App>(shipped_pack(), Services{&store, [this] { return clock; },
                                                             [this] {
                                                                 std::array<std::uint8_t, 16> bytes{};
                                                                 bytes[0] = ++ids;
                                                                 return bytes;
                                                             }});
        app->start();
    }
    /// A visit of so many days ago, straight into the log.
    void proved(const std::string& site, const std::string& cause, int days_ago) {
        const std::string visit = "old" + std::to_string(++ids);
        int number = 0;
        for (const Happening& what : {Happening(Opened{site, {}, "1", "h"}), Happening(FixChosen{cause}),
                                      Happening(FixFinished{cause}), Happening(Judged{cause, Verdict::proved}),
                                      Happening(Closed{Closing::proved})}) {
            const Event event{++number, Instant{noon_ms - days_ago * day_ms}, "keeper", what};
            store.commit(visit, event, "", [](const Outcome& saved) { REQUIRE(saved.has_value()); });
        }
    }
    void visit(const std::string& site) {
        app->act(StartVisit{site});
        REQUIRE_FALSE(state().trouble.has_value());
    }
    const State& state() const { return app->state(); }
    const Visit& held() const { return state().scene.visit; }
    std::vector<std::string> kinds() const {
        std::vector<std::string> kinds;
        for (const Event& event : *store.events(state().visit_id)) kinds.push_back(words_of(shipped_pack(), event.what, Units::metric));
        return kinds;
    }
    std::string type(const std::string& lines) {
        std::istringstream in(lines);
        std::ostringstream out;
        CHECK(run_terminal(*app, in, out) == 0);
        return out.str();
    }
    std::vector<kit::Control> drawn(bool tablet = false) const {
        kit::Kit kit(embedded_regular(), embedded_bold());
        if (tablet) kit.set_size(1280, 800, 5.9f, 1.0f);
        else kit.set_size(412, 915, 6.3f, 1.0f);
        for (int pass = 0; pass < 5; ++pass) {
            kit.feed({});
            (void)view(state(), shipped_pack(), kit);
            if (kit.settled()) break;
        }
        return kit.controls();
    }
    bool shows(const std::string& words, bool tablet = false) const {
        const auto controls = drawn(tablet);
        return std::any_of(controls.begin(), controls.end(), [&](const kit::Control& c) { return holds(c.label, words); });
    }
    /// Presses the control of this id in the next frame.
    void press(const std::string& id) {
        kit::Kit kit(embedded_regular(), embedded_bold());
        kit.set_size(412, 915, 6.3f, 1.0f);
        for (int pass = 0; pass < 5; ++pass) {
            kit.feed({});
            (void)view(state(), shipped_pack(), kit);
        }
        kit.feed({});
        kit.press(id);
        CHECK(app->frame(kit));
    }
    void ask() {
        app->act(Say{Began{}});
        for (int i = 0; i < 5 && state().scene.stage == Stage::measure; ++i) {
            app->act(Say{NotMeasured{shipped_pack().measurements[*state().scene.measurement].id}});
        }
        REQUIRE(state().scene.stage == Stage::ask);
    }
};

} // namespace

TEST_CASE("a log that has proved nothing opens a visit with its opening alone") {
    House house;
    house.visit("upper");
    CHECK(house.state().events.size() == 1);
    CHECK(house.held().past.empty());
    CHECK(house.held().learned.empty());
}

TEST_CASE("a visit recalls the site's last five proved repairs, latest first, and the counts of the whole log") {
    House house;
    house.proved("lower", "screen_matted", 1);
    for (int i = 1; i <= 6; ++i) house.proved("upper", i == 2 ? "waste_face_worn" : "screen_matted", 10 * i);
    house.visit("upper");
    CHECK(house.store.events(house.state().visit_id)->size() == 2); // the opening first
    CHECK(std::holds_alternative<Opened>(house.state().events[0].what));
    CHECK(std::holds_alternative<Recalled>(house.state().events[1].what));
    REQUIRE(house.held().past.size() == 5);
    CHECK(house.held().past[0].cause == "screen_matted");
    CHECK(house.held().past[0].days == 10);
    CHECK(house.held().past[1].cause == "waste_face_worn");
    CHECK(house.held().past[4].days == 50);
    CHECK(house.held().learned == std::map<std::string, double>{{"screen_matted", 6}, {"waste_face_worn", 1}});
    // Back at the very start takes nothing of it back.
    CHECK_FALSE(take_back(house.held()).has_value());
}

TEST_CASE("what was proved makes its cause likelier at the next visit, and not where learning is switched off") {
    const auto matted = [](const House& house) {
        return house.state().scene.belief.of(index_of(shipped_pack().causes, find_cause(shipped_pack(), "screen_matted")));
    };
    House house;
    house.visit("upper");
    const double before = matted(house);
    for (int i = 0; i < 30; ++i) house.proved("lower", "screen_matted", 100 + i);
    house.visit("upper");
    CHECK(matted(house) > 1.5 * before);
    house.app->act(SetLearning{false});
    house.visit("upper");
    CHECK(house.state().events.size() == 1);
    CHECK(matted(house) == doctest::Approx(before));
}

TEST_CASE("a visit of which only the opening was saved goes on without what would have been recalled") {
    House house;
    house.proved("upper", "screen_matted", 3);
    const Event opened{1, house.clock, "keeper", opening_of("upper", house.state().sites.back().site, shipped_pack().version, shipped_pack().hash)};
    house.store.commit("cut", opened, "", [](const Outcome& saved) { REQUIRE(saved.has_value()); });
    house.restart();
    REQUIRE(house.state().visit_id == "cut");
    CHECK(house.held().past.empty());
    house.ask();
    CHECK_FALSE(house.state().trouble.has_value());
}

TEST_CASE("who answers is saved behind the opening unless it is the keeper, and is kept for the next start") {
    House house;
    house.app->act(Show{Screen::choices});
    house.press("person_newcomer");
    CHECK(house.state().person == Person::newcomer);
    house.visit("upper");
    REQUIRE(house.state().events.size() == 2);
    CHECK(house.held().person == Person::newcomer);
    house.ask();
    // How to look stands open by itself where there is room beside the answers; on a phone it is a touch away.
    const std::string look = shipped_pack().observations[*house.state().scene.observation].look;
    CHECK(house.shows(look, true));
    CHECK_FALSE(house.shows(look));
    CHECK(house.shows("How to look"));
    house.app->act(Unfold{Unfold::how});
    CHECK_FALSE(house.shows(look, true));
    CHECK(house.shows(look));
    house.restart();
    CHECK(house.state().person == Person::newcomer);
    CHECK_FALSE(house.state().another_answers);
}

TEST_CASE("a visit that another kind of person began offers the change once, and it is an event") {
    House house;
    house.visit("upper");
    house.ask();
    CHECK_FALSE(house.state().how_open);
    house.app->act(SetPerson{Person::helper});
    house.app->act(ResumeVisit{house.state().visit_id});
    REQUIRE(house.state().another_answers);
    CHECK(house.shows("Until now the keeper answered. From here on: a helper"));
    CHECK(holds(house.type(""), "Until now the keeper answered; to go on as helper say: as helper"));
    house.press("answers_now");
    CHECK(house.held().person == Person::helper);
    CHECK_FALSE(house.shows("Until now"));
    CHECK(house.kinds().back() == "From here on answered by a helper.");
    CHECK(holds(house.type("as stranger\nas newcomer\n"), "Say who answers"));
    CHECK(house.held().person == Person::newcomer);
    CHECK(holds(house.type(""), shipped_pack().observations[*house.state().scene.observation].look));
}

TEST_CASE("the choices show what was learned, and one press switches it off and on again") {
    House house;
    house.app->act(Show{Screen::choices});
    CHECK(house.shows("No proved repair counted yet."));
    for (int i = 0; i < 4; ++i) house.proved("upper", "screen_matted", i);
    house.app->act(Show{Screen::choices});
    CHECK(house.shows("4 proved repairs counted. Fewer than 5 move nothing."));
    CHECK(house.state().learned.moved.empty());
    for (int i = 0; i < 16; ++i) house.proved("upper", "screen_matted", i);
    house.app->act(Show{Screen::choices});
    CHECK(house.shows("20 proved repairs counted."));
    const Cause& matted = *find_cause(shipped_pack(), "screen_matted");
    CHECK(house.shows(matted.name + ": likelier, "));
    CHECK(house.shows("(20 of 20)"));
    CHECK(house.shows("Each cause without a repair here: less likely, 0.75 times.")); // 60 / (60 + 20)
    house.press("learning");
    CHECK_FALSE(house.state().learning);
    CHECK(house.shows("20 proved repairs counted.")); // what it would change is still shown
    house.restart();
    CHECK_FALSE(house.state().learning);
    house.app->act(Show{Screen::choices});
    house.press("learning");
    house.restart();
    CHECK(house.state().learning);
}

TEST_CASE("how far a cause is moved is the Dirichlet mean over the pack's share, by hand") {
    // Gelman and others, Bayesian Data Analysis, 3rd edition, 2013, section 3.4: the mean of a Dirichlet posterior
    // is (alpha_j + y_j) / sum(alpha + y); here alpha_j = 60 p_j. Strainer: p from the pack, 12 of 20.
    const Pack& pack = shipped_pack();
    double weights = 0;
    for (const Cause& cause : pack.causes) weights += cause.per_1000;
    const double p = find_cause(pack, "screen_matted")->per_1000 / weights;
    const Learned learned = learned_from(pack, {{"screen_matted", 12}, {"waste_face_worn", 8}, {"of another pack", 50}});
    CHECK(learned.proved == 20);
    const auto found = std::find_if(learned.moved.begin(), learned.moved.end(),
                                    [&](const Moved& m) { return pack.causes[m.cause].id == "screen_matted"; });
    REQUIRE(found != learned.moved.end());
    CHECK(found->times == doctest::Approx(std::min((60 * p + 12) / 80 / p, 3.0)));
    CHECK(found->count == 12);
    CHECK(learned.moved.size() <= 2);
    CHECK(learned.others == doctest::Approx(60.0 / 80));
    for (std::size_t i = 1; i < learned.moved.size(); ++i) {
        CHECK(std::abs(std::log(learned.moved[i - 1].times)) >= std::abs(std::log(learned.moved[i].times)));
    }
}

TEST_CASE("neither a round nor an opening to hand a site on recalls anything") {
    House house;
    for (int i = 0; i < 6; ++i) house.proved("upper", "screen_matted", i);
    house.app->act(ShowTrend{"upper"});
    house.app->act(BeginRound{});
    house.app->act(TickService{shipped_pack().services.front().id});
    house.app->act(SaveRound{});
    house.app->act(ShowBrief{"lower"});
    house.app->act(NameReceiver{"M. K."});
    house.app->act(HandOn{});
    int openings = 0;
    for (const VisitRow& row : *house.store.visits()) {
        if (row.id.starts_with("old")) continue;
        ++openings;
        for (const Event& event : *house.store.events(row.id)) CHECK_FALSE(std::holds_alternative<Recalled>(event.what));
    }
    CHECK(openings == 2);
}

TEST_CASE("what would change a finding and what it rests on stand in view, in the window and in the terminal") {
    House house;
    house.visit("upper");
    house.app->act(Say{Began{}});
    int would_change = 0, rests_on = 0;
    for (const auto& [observation, answer] : {std::pair("screen_face", "matted"), std::pair("onset", "sudden"),
                                              std::pair("hand_start", "dies_open"), std::pair("drive_gate", "full_open")}) {
        house.app->act(Say{Answered{observation, answer, false}});
        house.app->act(Unfold{Unfold::sure}); // the fold of a question; a finding shows them as it stands
        const Doubts& doubts = house.state().scene.doubts;
        const bool in_view = house.state().scene.stage == Stage::ask || house.state().scene.stage == Stage::finding;
        if (!in_view) continue;
        const std::string told = house.state().scene.stage == Stage::ask ? so_far_text(house.state(), shipped_pack()) : house.type("");
        for (const auto& [heading, words] : {std::pair("What would change this", doubts.would_change),
                                             std::pair("It rests on", doubts.rests_on)}) {
            CAPTURE(words);
            CHECK(house.shows(heading) == !words.empty());
            CHECK(holds(told, std::string(heading) + ": ") == !words.empty());
            if (words.empty()) continue;
            CHECK(house.shows(words));
            CHECK(holds(told, words));
        }
        would_change += !doubts.would_change.empty();
        rests_on += !doubts.rests_on.empty();
    }
    CHECK(would_change + rests_on > 0);
}

TEST_CASE("what does not fit stands on top of the next question, and at an end without a proof") {
    House house;
    house.visit("upper");
    house.app->act(Say{Began{}});
    for (const auto& [observation, answer] : {std::pair("screen_face", "matted"), std::pair("onset", "days"),
                                              std::pair("hand_start", "dies_open"), std::pair("water_look", "leafy_or_weedy")}) {
        house.app->act(Say{Answered{observation, answer, false}});
    }
    house.app->act(Say{FixChosen{"screen_matted"}});
    CHECK_FALSE(house.shows("Something here does not fit"));
    house.app->act(Say{Checked{"screen_matted", CheckResult::no}});
    const std::string words = house.state().scene.doubts.does_not_fit;
    REQUIRE(holds(words, "Something here does not fit"));
    CHECK(house.shows(words, true));
    CHECK(house.shows("Doubt: see below"));   // on a phone, where the answers need the room
    CHECK(house.shows("More: what does not fit"));
    CHECK_FALSE(house.shows(words));
    house.app->act(Unfold{Unfold::sure});
    CHECK(house.shows(words));
    CHECK(holds(house.type(""), "? " + words));
    State end = house.state();
    end.scene.stage = Stage::ended;
    for (const EndReason reason : {EndReason::help_is_nearer, EndReason::nothing_fits}) {
        end.scene.offer.step = Finish{reason};
        ToldCautions told;
        CHECK(holds(scene_text(end, shipped_pack(), told), "? " + words));
    }
}

} // namespace beckhand
