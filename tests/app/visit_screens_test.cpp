// The screens of a visit as drawn: what can be pressed on them, what stands in view, and how far apart
// opposite answers are. Sizes: the house's own figures, at least the 6 mm between opposite outcomes that the
// field figures ask for.
#include <algorithm>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "app/app.h"
#include "app/visit/visit_views.h"
#include "engine/diagnosis/steps.h"
#include "platform/desktop/embedded.h"
#include "tests/support/shipped_model.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using tests::shipped_model;
using tests::shipped_pack;

State state_after(const std::vector<Happening>& said) {
    const Pack& pack = shipped_pack();
    Site site;
    site.name = "Upper spring";
    site.fall = metres(2);
    site.lift = metres(14);
    site.record.beat = beats_per_minute(60);
    State state;
    state.events.push_back({1, Instant{}, "keeper", Opened{"site", site, pack.version, pack.hash}});
    for (const Happening& what : said) {
        state.events.push_back({static_cast<int>(state.events.size()) + 1, Instant{}, "keeper", what});
    }
    state.screen = Screen::visit;
    state.scene = scene_of(pack, shipped_model(), fold(state.events));
    if (state.scene.measurement) state.entry.emplace();
    return state;
}

/// What is registered on the drawn screen, on a phone or on a tablet.
std::vector<kit::Control> drawn(const State& state, bool tablet = false) {
    kit::Kit kit(embedded_regular(), embedded_bold());
    if (tablet) kit.set_size(1280, 800, 5.9f, 1.0f);
    else kit.set_size(412, 915, 6.3f, 1.0f);
    for (int pass = 0; pass < 5; ++pass) {
        kit.feed({});
        (void)visit_view(state, shipped_pack(), kit);
        if (kit.settled()) break;
    }
    return kit.controls();
}

const kit::Control* find(const std::vector<kit::Control>& controls, std::string_view id) {
    const auto found =
        std::find_if(controls.begin(), controls.end(), [&](const kit::Control& c) { return c.id == id; });
    return found == controls.end() ? nullptr : &*found;
}

bool says(const std::vector<kit::Control>& controls, const std::string& words) {
    return std::any_of(controls.begin(), controls.end(),
                       [&](const kit::Control& c) { return c.label.find(words) != std::string::npos; });
}

const std::string cause = "screen_matted";

} // namespace

TEST_CASE("yes and no of a look stand 8 mm apart, and so do those of a check") {
    const State look = state_after({Began{}, FixChosen{cause}, Checked{cause, CheckResult::yes},
                                    StepTicked{cause, 0, true}, FixFinished{cause}, NotMeasured{"Q"}, NotMeasured{"B"}});
    REQUIRE(look.scene.stage == Stage::proof_look);
    const State check = state_after({Began{}, FixChosen{cause}});
    REQUIRE(check.scene.stage == Stage::check);
    for (const bool tablet : {false, true}) {
        for (const State* state : {&look, &check}) {
            const auto controls = drawn(*state, tablet);
            const kit::Control* const yes = find(controls, "yes");
            const kit::Control* const no = find(controls, "no");
            REQUIRE(yes != nullptr);
            REQUIRE(no != nullptr);
            const float gap = (no->box.y - yes->box.y - yes->box.h) / (tablet ? 5.9f : 6.3f);
            CHECK(gap >= 7.8f);
        }
    }
}

TEST_CASE("a figure's cautions are in view while it is typed, folded or not") {
    const State proof = state_after({Began{}, FixChosen{cause}, Checked{cause, CheckResult::yes},
                                     StepTicked{cause, 0, true}, FixFinished{cause}, NotMeasured{"Q"}});
    REQUIRE(proof.scene.stage == Stage::proof_measure);
    const std::string title = find_caution(shipped_pack(), "pinch")->title;
    const State found = state_after({Answered{"complaint", "less_at_tank", true}, Began{}, NotMeasured{"T"},
                                     Measured{"Q", 1e-5}});
    REQUIRE(found.scene.stage == Stage::measure);
    for (const bool tablet : {false, true}) {
        CHECK(says(drawn(proof, tablet), title));
        CHECK(says(drawn(found, tablet), title));
    }
}

TEST_CASE("the keys of a proof's figure stand in view whole on a phone, whatever is said above them") {
    int figures = 0;
    for (const Cause& one : shipped_pack().causes) {
        std::vector<Happening> said{Began{}, FixChosen{one.id}, Checked{one.id, CheckResult::yes}, StepTicked{one.id, 0, true},
                                    FixFinished{one.id}};
        for (State state = state_after(said); state.scene.stage == Stage::proof_measure; state = state_after(said)) {
            const std::string& id = shipped_pack().measurements[*state.scene.measurement].id;
            CAPTURE(one.id);
            CAPTURE(id);
            const std::vector<kit::Control> controls = drawn(state);
            float top_of_bar = 915;
            for (const kit::Control& control : controls) {
                if (control.role == "bar") top_of_bar = std::min(top_of_bar, control.box.y);
            }
            for (const kit::Control& control : controls) {
                if (control.role != "key") continue;
                CHECK_FALSE(control.clipped);
                CHECK(control.box.y + control.box.h <= top_of_bar);
            }
            said.push_back(NotMeasured{id});
            ++figures;
        }
    }
    CHECK(figures > 20);
}

TEST_CASE("on a small phone three answers stand above the bar, for a newcomer and in doubt too") {
    const auto above_the_bar = [](const State& state) {
        kit::Kit kit(embedded_regular(), embedded_bold());
        kit.set_size(360, 780, 6.3f, 1.0f);
        for (int pass = 0; pass < 5; ++pass) {
            kit.feed({});
            (void)visit_view(state, shipped_pack(), kit);
            if (kit.settled()) break;
        }
        float top_of_bar = 780;
        for (const kit::Control& control : kit.controls()) {
            if (control.role == "bar") top_of_bar = std::min(top_of_bar, control.box.y);
        }
        return std::count_if(kit.controls().begin(), kit.controls().end(), [&](const kit::Control& c) {
            return c.role == "answer" && c.box.y + c.box.h <= top_of_bar;
        });
    };
    State newcomer = state_after({AnsweringAs{Person::newcomer}, Began{}});
    REQUIRE(newcomer.scene.stage == Stage::ask);
    CHECK(above_the_bar(newcomer) >= 3);
    const State doubt = state_after({Began{}, Answered{"screen_face", "matted"}, Answered{"onset", "days"},
                                     Answered{"hand_start", "dies_open"}, Answered{"water_look", "leafy_or_weedy"},
                                     FixChosen{cause}, Checked{cause, CheckResult::no}});
    REQUIRE(doubt.scene.stage == Stage::ask);
    REQUIRE_FALSE(doubt.scene.doubts.does_not_fit.empty());
    CHECK(above_the_bar(doubt) >= 3);
    // Of all questions nearly all: what is long to ask and warns of much leaves room for two.
    int questions = 0, three = 0;
    State any = newcomer;
    any.scene.doubts = doubt.scene.doubts;
    for (std::size_t o = 0; o < shipped_pack().observations.size(); ++o) {
        const Observation& observation = shipped_pack().observations[o];
        const auto answers = std::count_if(observation.answers.begin(), observation.answers.end(), [](const Answer& a) { return !a.cannot; });
        any.scene.observation = o;
        const auto seen = above_the_bar(any);
        ++questions;
        three += seen >= std::min<std::ptrdiff_t>(3, answers) ? 1 : 0;
        CAPTURE(observation.id);
        CHECK(seen >= 2);
    }
    MESSAGE(three << " of " << questions << " questions show three answers or all to a newcomer on 360 x 780");
    CHECK(three * 10 >= questions * 9);
}

TEST_CASE("a finding can be doubted, and put aside for another day") {
    std::vector<Happening> said{Began{}};
    State state = state_after(said);
    for (int i = 0; i < 40 && state.scene.stage != Stage::finding; ++i) {
        if (state.scene.stage == Stage::measure) {
            said.push_back(NotMeasured{shipped_pack().measurements[*state.scene.measurement].id});
        } else {
            const Observation& asked = shipped_pack().observations[state.scene.observation.value()];
            said.push_back(Answered{asked.id, asked.answers.back().id});
        }
        state = state_after(said);
    }
    REQUIRE(state.scene.stage == Stage::finding);
    CHECK_FALSE(state.scene.offer.sure);
    const auto controls = drawn(state);
    CHECK(says(controls, "Not sure"));
    CHECK(says(controls, state.scene.reasons->likelier_left ? "Not the likeliest, but the quickest to rule out" : "The likeliest"));
    CHECK(state.scene.reasons->likelier_left == (state.scene.belief.first() != state.scene.cause));
    CHECK(find(controls, "ask_on") != nullptr);
    CHECK(find(controls, "not_now") != nullptr);

    // Put aside: another cause comes next, this one is open at the end and not named as tried.
    const std::string id = shipped_pack().causes[*state.scene.cause].id;
    said.push_back(SetAside{id, Aside::not_now});
    const State next = state_after(said);
    const bool same = next.scene.stage == Stage::finding && shipped_pack().causes[*next.scene.cause].id == id;
    CHECK_FALSE(same);
}

TEST_CASE("a check that could not be made does not lead into the repair by itself") {
    const std::vector<Happening> missed{Began{}, FixChosen{cause}, Checked{cause, CheckResult::could_not}};
    const State state = state_after(missed);
    REQUIRE(state.scene.stage == Stage::unchecked);
    const auto controls = drawn(state);
    CHECK(find(controls, "all_the_same") != nullptr);
    CHECK(find(controls, "without") != nullptr);
    std::vector<Happening> said = missed;
    said.push_back(FixChosen{cause});
    CHECK(state_after(said).scene.stage == Stage::fix);
    said = missed;
    said.push_back(StepTicked{cause, 0, true}); // a log from before this screen went straight on
    CHECK(state_after(said).scene.stage == Stage::fix);
}

TEST_CASE("a skipped step that has cautions keeps them in full view while steps are left") {
    const Pack& pack = shipped_pack();
    const Cause* guarded = nullptr;
    for (const Cause& one : pack.causes) {
        const auto& steps = one.fix.steps;
        if (guarded == nullptr && steps.size() > 2 && !steps[0].cautions.empty() && steps[1].cautions != steps[0].cautions) guarded = &one;
    }
    REQUIRE(guarded != nullptr);
    const std::string words = find_caution(pack, guarded->fix.steps[0].cautions[0])->say;
    std::vector<Happening> said{Began{}, FixChosen{guarded->id}, Checked{guarded->id, CheckResult::yes}};
    const auto with = [&](bool first) {
        std::vector<Happening> all = said;
        all.push_back(StepTicked{guarded->id, 0, first});
        return drawn(state_after(all), true);
    };
    const auto times = [&](const std::vector<kit::Control>& controls) {
        return std::count_if(controls.begin(), controls.end(),
                             [&](const kit::Control& c) { return c.label.find(words) != std::string::npos; });
    };
    CHECK(says(with(false), skipped_guard_words));
    CHECK_FALSE(says(with(true), skipped_guard_words));
    CHECK(times(with(false)) == times(with(true)) + 1);

    for (std::size_t i = 0; i < guarded->fix.steps.size(); ++i) said.push_back(StepTicked{guarded->id, static_cast<int>(i), i != 0});
    CHECK_FALSE(says(drawn(state_after(said), true), skipped_guard_words));   // nothing follows
}

TEST_CASE("better after a repair with open steps is said to be not proved, and which steps are left") {
    std::vector<Happening> said{Began{}, FixChosen{cause}, Checked{cause, CheckResult::yes}, StepTicked{cause, 0, true},
                                StepTicked{cause, 1, true}, FixFinished{cause}, NotMeasured{"Q"}, NotMeasured{"B"}, ProofSeen{cause, true}};
    const State state = state_after(said);
    REQUIRE(state.scene.stage == Stage::verdict);
    CHECK(says(drawn(state), "Better, but the repair is not finished: steps 3, 4, 5 and 6 left. It counts as not proved yet."));
}

TEST_CASE("a repair that nothing was measured after is said to be not proved, and can be measured later") {
    std::vector<Happening> said{Began{}, FixChosen{cause}, Checked{cause, CheckResult::yes}, StepTicked{cause, 0, true},
                                FixFinished{cause}, NotMeasured{"Q"}, NotMeasured{"B"}, ProofNotSeen{cause}};
    const State verdict = state_after(said);
    REQUIRE(verdict.scene.stage == Stage::verdict);
    REQUIRE(verdict.scene.proof->verdict == Verdict::not_proved);
    CHECK(says(drawn(verdict), "nothing was measured or looked at"));
    CHECK_FALSE(says(drawn(verdict), "This was not it"));
    said.push_back(Judged{cause, Verdict::not_proved});
    said.push_back(FixFinished{cause});
    CHECK(state_after(said).scene.stage == Stage::proof_measure);
}

TEST_CASE("a stop rule can be left by going away") {
    const State state = state_after({Began{}, Answered{"vessel_skin", "crack_spray"}});
    REQUIRE(state.scene.stage == Stage::stop_first);
    const auto controls = drawn(state);
    for (const char* id : {"heeded", "safe_now", "leave", "close_called_help", "close"}) {
        CAPTURE(id);
        CHECK(find(controls, id) != nullptr);
    }
}

TEST_CASE("sights that may both be true stand chosen side by side; those that exclude each other do not") {
    const auto chosen = [](const State& state, const char* id) {
        const auto controls = drawn(state);
        const kit::Control* const sight = find(controls, id);
        REQUIRE(sight != nullptr);
        return sight->chosen;
    };
    const State several = state_after({Answered{"complaint", "less_at_tank", true},
                                       Answered{"complaint", "noise_or_shaking", true},
                                       Answered{"beat_now", "uneven", true}});
    REQUIRE(several.scene.stage == Stage::first_sight);
    CHECK(chosen(several, "sight_complaint_less_at_tank"));
    CHECK(chosen(several, "sight_complaint_noise_or_shaking"));
    CHECK(chosen(several, "sight_beat_now_uneven"));
    const State other = state_after({Answered{"beat_now", "uneven", true}, Answered{"beat_now", "stopped_open", true}});
    CHECK_FALSE(chosen(other, "sight_beat_now_uneven"));
    CHECK(chosen(other, "sight_beat_now_stopped_open"));
}

TEST_CASE("a sight of a pump that runs and one of a pump that stands are pointed out, and it goes on once one is left") {
    for (const bool tablet : {false, true}) {
        const auto both = drawn(state_after({Answered{"complaint", "less_at_tank", true}, Answered{"beat_now", "stopped_shut", true}}), tablet);
        CHECK(says(both, "Cannot be together with: The waste valve rests shut, all is quiet"));
        CHECK(says(both, "Cannot be together with: It beats, but little water arrives"));
        REQUIRE(find(both, "go_on") != nullptr);
        CHECK_FALSE(find(both, "go_on")->enabled);
        const auto one = drawn(state_after({Answered{"complaint", "less_at_tank", true}, Answered{"beat_now", "uneven", true}}), tablet);
        CHECK_FALSE(says(one, "Cannot be together"));
        CHECK(find(one, "go_on")->enabled);
    }
}

TEST_CASE("the cautions before a repair are left once their end was in view, by a finger's scrolling or by the button") {
    int longer = 0, whole = 0;
    for (const Cause& one : shipped_pack().causes) {
        CAPTURE(one.id);
        const State state = state_after({Began{}, FixChosen{one.id}, Checked{one.id, CheckResult::yes}});
        if (state.scene.stage != Stage::fix || one.fix.cautions.empty()) continue;
        for (const bool tablet : {false, true}) {
            kit::Kit kit(embedded_regular(), embedded_bold());
            if (tablet) kit.set_size(800, 1280, 5.9f, 1.0f);
            else kit.set_size(360, 780, 6.3f, 1.0f);
            double now_s = 0;
            std::optional<Intent> did;
            const auto frame = [&] {
                for (int pass = 0; pass < 5; ++pass) {
                    kit::Input input;
                    input.seconds = now_s += 0.5;
                    kit.feed(input);
                    if (const auto now = visit_view(state, shipped_pack(), kit)) did = now;
                    if (kit.settled()) break;
                }
            };
            frame();
            const auto last_seen = [&] { // of the cautions, the last one stands above the bar
                const kit::Control* last = nullptr;
                for (const kit::Control& control : kit.controls()) {
                    if (control.role == "caution") last = &control;
                }
                return last != nullptr && !last->clipped;
            };
            int presses = 0;
            for (; find(kit.controls(), "more_below") != nullptr && presses < 20; ++presses) {
                CHECK(find(kit.controls(), "have_read") == nullptr);
                const std::vector<kit::Control> before = kit.controls();
                REQUIRE(kit.press_key('\r')); // as the button by a finger
                frame();
                // By less than a screenful: nothing is passed over.
                REQUIRE(find(kit.controls(), "title") != nullptr);
                float moved = 0, foot = 1e9f;
                const float top = find(kit.controls(), "title")->box.h;
                for (std::size_t i = 0; i < before.size() && i < kit.controls().size(); ++i) {
                    if (before[i].region == 1) moved = std::max(moved, before[i].box.y - kit.controls()[i].box.y);
                    if (before[i].role == "bar") foot = before[i].box.y;
                }
                CHECK(moved > 0);
                CHECK(moved < foot - top);
                CHECK_FALSE(did.has_value());
            }
            (presses > 0 ? longer : whole) += 1;
            CHECK(last_seen());
            REQUIRE(find(kit.controls(), "have_read") != nullptr);
            REQUIRE(kit.press_key('\r'));
            frame();
            REQUIRE(did.has_value());
            CHECK(std::holds_alternative<ReadCautions>(*did));
        }
    }
    CHECK(longer > 0);
    CHECK(whole > 0);
}

TEST_CASE("a name longer than its field is read in full below it") {
    State state;
    state.screen = Screen::site_edit;
    state.draft.name = "The upper spring behind the old sawmill on the north side of the long valley";
    kit::Kit kit(embedded_regular(), embedded_bold());
    kit.set_size(412, 915, 6.3f, 1.0f);
    for (int pass = 0; pass < 5; ++pass) {
        kit.feed({});
        (void)view(state, shipped_pack(), kit);
    }
    const auto& controls = kit.controls();
    CHECK(std::any_of(controls.begin(), controls.end(), [&](const kit::Control& c) {
        return c.role == "text" && c.label == state.draft.name;
    }));
}

} // namespace beckhand
