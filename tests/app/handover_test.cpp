// Handing a site on, driven through the program: three questions, each answer saved before the next, and an open
// visit that goes on where it stopped.
#include <doctest/doctest.h>

#include <algorithm>
#include <memory>
#include <set>
#include <string>

#include "app/app.h"
#include "app/handover/gather.h"
#include "app/handover/read_back.h"
#include "app/log/record_text.h"
#include "tests/app/hand.h"
#include "tests/support/demo_log.h"

namespace beckhand {
namespace {

using namespace tests;
using Page = HandoverOnScreen::Page;

struct Desk {
    Store store = demo_log();
    std::int64_t now = 1'795'600'000'000;
    std::uint8_t ids = 0;
    std::string saved_name, saved_bytes;
    std::unique_ptr<App> app;
    Desk() { restart(); }
    void restart() {
        app = std::make_unique<App>(shipped_pack(), Services{&store, [this] { return Instant{now += 60'000}; },
                                                             [this] {
                                                                 std::array<std::uint8_t, 16> id{};
                                                                 id[15] = ++ids;
                                                                 return id;
                                                             },
                                                             {},
                                                             [this](const std::string& name, const std::string& bytes) {
                                                                 saved_name = name;
                                                                 saved_bytes = bytes;
                                                                 return Result<std::string>("papers/" + name);
                                                             }});
        app->start();
    }
    const State& state() const { return app->state(); }
    const HandoverOnScreen& over() const { return app->state().handover; }
    void act(const Intent& what) { app->act(what); }
    std::string site() const { return state().sites.front().id; }
    ReadBackQuestion asked() const {
        return read_back_question(shipped_pack(), over().brief, over().handover->next_topic(),
                                  over().handover->said_back.size());
    }
    void offer() {
        act(ShowBrief{site()});
        act(ShowHandoverPage{Page::who});
        act(NameReceiver{"M. K."});
        act(HandOn{});
    }
    void answer(bool right) {
        const ReadBackQuestion question = asked();
        act(SayBack{right ? question.right : (question.right + 1) % question.answers.size()});
    }
};

} // namespace

TEST_CASE("a site without a visit is handed on in a visit of its own, which is closed as handed on") {
    Desk desk;
    const std::size_t before = desk.store.visits(desk.site())->size();
    desk.offer();
    REQUIRE(desk.over().page == Page::read_back);
    for (int i = 0; i < 3; ++i) desk.answer(true);
    CHECK(desk.over().page == Page::done);
    CHECK(desk.over().handover->read_back());
    CHECK_FALSE(desk.over().goes_on);
    const auto rows = desk.store.visits(desk.site()).value();
    REQUIRE(rows.size() == before + 1);
    CHECK(rows.front().closed == Closing::handed_on);
    CHECK(rows.front().headline == "Handed on");
    const auto events = desk.store.events(rows.front().id).value();
    CHECK(fold(events).handover->to == "M. K.");
    CHECK(std::count_if(events.begin(), events.end(), [](const Event& e) {
              return std::holds_alternative<SaidBack>(e.what) && e.by == "M. K.";
          }) == 3);
    const auto lines = record_lines(shipped_pack(), events, Units::metric);
    CHECK(std::any_of(lines.begin(), lines.end(),
                      [](const std::string& line) { return line.find("Handed on to M. K.") != std::string::npos; }));
    // The receipt comes later, when the site is looked at again.
    desk.restart();
    desk.act(ShowBrief{desk.site()});
    REQUIRE(desk.over().handover.has_value());
    desk.act(ReceiptBack{});
    CHECK(desk.over().handover->received_by == "M. K.");
    desk.act(ReceiptBack{}); // once is enough
    CHECK(desk.store.events(rows.front().id)->size() == events.size() + 1);
    // Handed on once more, it is a visit of its own again.
    desk.offer();
    CHECK(desk.store.visits(desk.site())->size() == before + 2);
    CHECK_FALSE(desk.over().handover->received());
}

TEST_CASE("an open visit is handed on and goes on where it stopped") {
    Desk desk;
    desk.act(StartVisit{desk.site()});
    desk.act(Say{Began{}});
    desk.act(Say{Answered{"complaint", "less_at_tank"}});
    desk.act(Say{FixChosen{"screen_matted"}});
    REQUIRE(desk.state().scene.stage == Stage::check);
    const std::string visit = desk.state().visit_id;
    desk.offer();
    CHECK(desk.over().visit_id == visit);
    for (int i = 0; i < 3; ++i) desk.answer(true);
    CHECK(desk.over().goes_on);
    CHECK_FALSE(fold(desk.store.events(visit).value()).closed.has_value());
    desk.act(Back{});
    CHECK(desk.state().screen == Screen::visit);
    CHECK(desk.state().visit_id == visit);
    CHECK(desk.state().scene.stage == Stage::check);
    desk.act(Say{Checked{"screen_matted", CheckResult::yes}}); // numbers go on after the handing over
    CHECK_FALSE(desk.state().trouble.has_value());
    CHECK(desk.state().scene.stage == Stage::fix);
    CHECK(desk.store.open_visit().value() == visit);
}

TEST_CASE("a wrong answer shows the line, is saved, and is asked again after the others") {
    Desk desk;
    desk.offer();
    const std::string line = desk.asked().line;
    desk.answer(false);
    CHECK(desk.over().wrong == "danger");
    CHECK(read_back_question(shipped_pack(), desk.over().brief, "danger", 0).line == line);
    const std::size_t said = desk.over().handover->said_back.size();
    desk.act(SayBack{0}); // not before the line was read
    CHECK(desk.over().handover->said_back.size() == said);
    desk.act(ReadLine{});
    CHECK(desk.asked().topic == "sound");
    desk.answer(true);
    desk.answer(true);
    CHECK_FALSE(desk.over().handover->read_back());
    CHECK(desk.asked().topic == "danger");
    // The program dies here; what was said is kept, and the same question comes again.
    desk.restart();
    desk.act(ShowBrief{desk.site()});
    CHECK(desk.over().to == "M. K.");
    desk.act(ShowHandoverPage{Page::read_back});
    CHECK(desk.asked().topic == "danger");
    desk.answer(true);
    CHECK(desk.over().handover->read_back());
}

TEST_CASE("each question has one right answer among three or four that differ, and is the same every time") {
    const Store store = demo_log();
    for (const Units units : {Units::metric, Units::us}) {
        for (const SiteRow& row : *store.sites()) {
            const auto source = gather_brief(store, shipped_pack(), shipped_model(), row, {units, {}, Instant{}, "keeper"});
            REQUIRE(source.has_value());
            const Brief brief = brief_of(shipped_pack(), shipped_model(), *source);
            for (const std::string_view topic : say_back_topics) {
                for (std::size_t turn = 0; turn < 8; ++turn) {
                    const ReadBackQuestion q = read_back_question(shipped_pack(), brief, topic, turn);
                    CAPTURE(q.ask);
                    CHECK(q.answers.size() >= 3);
                    CHECK(q.answers.size() <= 4);
                    CHECK(std::set<std::string>(q.answers.begin(), q.answers.end()).size() == q.answers.size());
                    REQUIRE(q.right < q.answers.size());
                    CHECK(q.line.find(q.answers[q.right]) != std::string::npos);
                    for (std::size_t i = 0; i < q.answers.size(); ++i) {
                        if (i != q.right) CHECK(q.line.find(q.answers[i]) == std::string::npos);
                    }
                    const ReadBackQuestion again = read_back_question(shipped_pack(), brief, topic, turn);
                    CHECK(again.answers == q.answers);
                    CHECK(again.right == q.right);
                }
            }
            const ReadBackQuestion sound = read_back_question(shipped_pack(), brief, "sound", 0);
            CHECK(sound.line.find(band_text(brief.yardstick->kind, brief.yardstick->least_si, brief.yardstick->most_si,
                                             units)) != std::string::npos);
        }
    }
    Brief bare;
    bare.next.what = "Look at it.";
    for (const std::string_view topic : say_back_topics) {
        CHECK(read_back_question(shipped_pack(), bare, topic, 0).answers.size() >= 3);
    }
}

TEST_CASE("nobody is handed a site without a name, and the paper is saved under the site's") {
    Desk desk;
    desk.act(ShowBrief{desk.site()});
    desk.act(HandOn{});
    CHECK_FALSE(desk.over().handover.has_value());
    desk.act(SavePaper{});
    CHECK(desk.saved_name == "brief_" + desk.state().sites.front().site.name + ".pdf");
    CHECK(desk.saved_bytes.rfind("%PDF-", 0) == 0);
    CHECK(desk.over().saved == "papers/" + desk.saved_name);
    desk.act(ShowBrief{"nothing"});
    CHECK(desk.state().trouble.has_value());
}

TEST_CASE("the screens of handing on can be pressed through, on a phone and on a tablet") {
    for (const bool tablet : {false, true}) {
        Desk desk;
        kit::Kit kit(embedded_regular(), embedded_bold());
        if (tablet) kit.set_size(1280, 800, 5.9f, 1.0f);
        else kit.set_size(412, 915, 6.3f, 1.0f);
        Hand hand{kit, [&] { desk.app->frame(kit); }};
        const auto press = [&](const std::string& id) {
            hand.settle();
            kit.press(id);
            hand.frame({});
            hand.settle();
        };
        desk.act(ShowSite{desk.site()});
        press("hand_on");
        REQUIRE(desk.state().screen == Screen::handover);
        const auto& controls = kit.controls();
        const auto caution = std::find_if(controls.begin(), controls.end(), [](const auto& c) { return c.role == "caution"; });
        const auto heading = std::find_if(controls.begin(), controls.end(), [](const auto& c) { return c.label == "Do next"; });
        REQUIRE(caution != controls.end());
        REQUIRE(heading != controls.end());
        CHECK(caution->box.y < heading->box.y);
        press("hand_over");
        press("to_helper");
        press("hand_on");
        CHECK(desk.over().page == Page::read_back);
        for (int i = 0; i < 3; ++i) press("say_" + std::to_string(desk.asked().right));
        CHECK(desk.over().page == Page::done);
        REQUIRE(hand.find("receipt") != nullptr);
        press("back");
        CHECK(desk.state().screen == Screen::site_sheet);
    }
}

} // namespace beckhand
