// The small drawings: every answer of the shipped pack has one, no two of a question look alike, neither moving nor
// still, and what tells them apart needs no colour.
#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <memory>
#include <set>

#include <SDL.h>
#include <imgui.h>

#include "app/drawings/sketch.h"
#include "platform/desktop/embedded.h"
#include "platform/desktop/renderer.h"
#include "tests/support/shipped_pack.h"

using namespace beckhand;
using drawings::Sketch;

namespace {

constexpr int cell_w = 107, cell_h = 86; // an answer's drawing on a phone: 17 mm wide

std::vector<const Sketch*> sketches_of(const Observation& observation) {
    std::vector<const Sketch*> found;
    for (const Answer& answer : observation.answers) {
        const Sketch* const sketch = answer.cannot ? nullptr : drawings::find_sketch(observation.id, answer.id);
        if (sketch != nullptr)
            found.push_back(sketch);
    }
    return found;
}

/// Lightness 0 to 255 of every dot of a drawing, row by row.
using Grey = std::vector<int>;

class Bench {
public:
    explicit Bench(kit::Theme theme = kit::Theme::paper) : kit_(embedded_regular(), embedded_bold()) {
        kit_.set_size(412, 915, 6.3f, 1.0f);
        kit_.set_theme(theme);
        surface_.reset(SDL_CreateRGBSurfaceWithFormat(0, 412, 915, 32, SDL_PIXELFORMAT_ABGR8888));
        sdl_.reset(SDL_CreateSoftwareRenderer(surface_.get()));
        REQUIRE(sdl_);
        renderer_ = std::make_unique<Renderer>(sdl_.get());
    }
    ~Bench() { ImGui::GetIO().Fonts->SetTexID(nullptr); }

    std::vector<Grey> draw(const std::vector<const Sketch*>& sketches, std::optional<double> when) {
        kit_.begin_screen("drawings", "");
        kit_.main();
        for (std::size_t i = 0; i < sketches.size(); ++i) {
            const auto [x, y] = place(i);
            drawings::draw_sketch(kit_, {static_cast<float>(x), static_cast<float>(y), cell_w, cell_h}, *sketches[i],
                                  when);
        }
        kit_.end_screen();
        renderer_->draw(*ImGui::GetDrawData());
        SDL_RenderFlush(sdl_.get());
        std::vector<Grey> greys;
        for (std::size_t i = 0; i < sketches.size(); ++i) {
            greys.push_back(cut(i));
        }
        return greys;
    }

private:
    static std::pair<int, int> place(std::size_t i) {
        const int n = static_cast<int>(i);
        return {4 + n % 3 * (cell_w + 10), 60 + n / 3 * (cell_h + 10)};
    }
    Grey cut(std::size_t i) const {
        const auto [x0, y0] = place(i);
        Grey grey;
        for (int y = y0; y < y0 + cell_h; ++y) {
            for (int x = x0; x < x0 + cell_w; ++x) {
                const auto* const dot = static_cast<const std::uint8_t*>(surface_->pixels) + y * surface_->pitch + 4 * x;
                // Rec. 709 lightness, near enough without undoing the gamma.
                grey.push_back((2126 * dot[0] + 7152 * dot[1] + 722 * dot[2]) / 10000);
            }
        }
        return grey;
    }

    struct Free {
        void operator()(SDL_Surface* surface) const { SDL_FreeSurface(surface); }
        void operator()(SDL_Renderer* sdl) const { SDL_DestroyRenderer(sdl); }
    };
    kit::Kit kit_;
    std::unique_ptr<SDL_Surface, Free> surface_;
    std::unique_ptr<SDL_Renderer, Free> sdl_;
    std::unique_ptr<Renderer> renderer_;
};

/// Share of the dots that are clearly lighter or darker.
double apart(const Grey& a, const Grey& b) {
    constexpr int clearly = 40;
    std::size_t differ = 0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        differ += std::abs(a[i] - b[i]) > clearly ? 1u : 0u;
    }
    return static_cast<double>(differ) / static_cast<double>(a.size());
}

// A needle's width of a tenth of the dial is about one dot in a hundred; our choice.
constexpr double least_apart = 0.009;

} // namespace

TEST_CASE("every answer of the pack has its drawing, and no drawing is left over") {
    std::set<std::pair<std::string_view, std::string_view>> answers;
    for (const Observation& observation : tests::shipped_pack().observations) {
        for (const Answer& answer : observation.answers) {
            if (answer.cannot)
                continue;
            answers.insert({observation.id, answer.id});
            CHECK_MESSAGE(drawings::find_sketch(observation.id, answer.id) != nullptr, observation.id, ": ", answer.id);
        }
    }
    std::set<std::pair<std::string_view, std::string_view>> drawn;
    for (const Sketch& sketch : drawings::all_sketches()) {
        CAPTURE(sketch.observation);
        CAPTURE(sketch.answer);
        CHECK(drawn.insert({sketch.observation, sketch.answer}).second); // once only
        CHECK(answers.count({sketch.observation, sketch.answer}) == 1);
        CHECK_FALSE(sketch.parts.empty());
        for (const drawings::Part& part : sketch.parts) {
            CHECK(part.course.find_first_not_of("0123456789") == std::string_view::npos);
            CHECK((part.course.empty() || part.course.size() <= drawings::steps_a_turn));
        }
    }
}

TEST_CASE("two answers of one question never look alike, moving or still, and without colour") {
    for (const kit::Theme theme : {kit::Theme::paper, kit::Theme::night}) {
        Bench bench(theme);
        double nearest = 1;
        for (const Observation& observation : tests::shipped_pack().observations) {
            const auto sketches = sketches_of(observation);
            // What differs in time alone is seen in the strip below at any moment; the still form comes first.
            for (const std::optional<double> when : {std::optional<double>(), std::optional(0.1), std::optional(2.6), std::optional(4.4)}) {
                const std::vector<Grey> greys = bench.draw(sketches, when);
                for (std::size_t i = 0; i < greys.size(); ++i) {
                    for (std::size_t j = i + 1; j < greys.size(); ++j) {
                        const double share = apart(greys[i], greys[j]);
                        nearest = std::min(nearest, share);
                        CAPTURE(when.value_or(-1));
                        CHECK_MESSAGE(share >= least_apart, observation.id, ": ", sketches[i]->answer, " and ",
                                      sketches[j]->answer, " ", share);
                    }
                }
            }
        }
        MESSAGE("the two that are nearest differ in " << 100 * nearest << " % of their dots");
    }
}

TEST_CASE("answers about the beat and about trials are told apart at a glance") {
    // One dot in sixteen, seven times as much as what is asked of all: our choice.
    constexpr double at_a_glance = 0.06;
    Bench bench;
    for (const char* const id : {"beat_vs_record", "hand_start", "twin_trial", "throttle_trial", "waste_splash"}) {
        const auto sketches = sketches_of(*find_observation(tests::shipped_pack(), id));
        REQUIRE(sketches.size() >= 3);
        const std::vector<Grey> greys = bench.draw(sketches, std::nullopt);
        for (std::size_t i = 0; i < greys.size(); ++i) {
            for (std::size_t j = i + 1; j < greys.size(); ++j) {
                const double share = apart(greys[i], greys[j]);
                CHECK_MESSAGE(share >= at_a_glance, id, ": ", sketches[i]->answer, " and ", sketches[j]->answer, " ", share);
            }
        }
    }
}

TEST_CASE("signs, water and bubbles are not cut off at the edge of their place") {
    // Drawn smaller in the middle of its place: what then stands outside of the smaller one would have been cut off. A
    // stroke's round end may: 3 of 100. Other drawings have pipes and banks that go on beyond the edge.
    const std::set<std::string_view> within{"complaint", "beat_sound", "vessel_skin", "beat_vs_record", "hand_start", "twin_trial", "throttle_trial", "waste_splash"};
    constexpr float share = 0.7f, left = 15, top = 12, end = 3;
    Bench bench;
    const Sketch nothing{};
    const int paper = bench.draw({&nothing}, std::nullopt).front().front();
    for (const Sketch& sketch : drawings::all_sketches()) {
        if (!within.contains(sketch.observation)) continue;
        Sketch smaller = sketch;
        for (drawings::Part& part : smaller.parts) {
            part.x = left + part.x * share, part.y = top + part.y * share, part.size *= share;
        }
        const Grey grey = bench.draw({&smaller}, std::nullopt).front();
        int cut = 0;
        for (int y = 0; y < cell_h; ++y) {
            for (int x = 0; x < cell_w; ++x) {
                const float gx = static_cast<float>(x) / cell_w * drawings::grid_w, gy = static_cast<float>(y) / cell_h * drawings::grid_h;
                const bool outside = gx < left - end || gx > left + share * drawings::grid_w + end || gy < top - end ||
                                     gy > top + share * drawings::grid_h + end;
                cut += outside && std::abs(grey[static_cast<std::size_t>(y * cell_w + x)] - paper) > 40 ? 1 : 0;
            }
        }
        CHECK_MESSAGE(cut == 0, sketch.observation, ": ", sketch.answer, ", ", cut, " dots");
    }
}

TEST_CASE("what goes on at the pump moves, what only stands does not") {
    Bench bench;
    const auto moves = [&](const char* observation, const char* answer) {
        const Sketch* const sketch = drawings::find_sketch(observation, answer);
        REQUIRE(sketch != nullptr);
        const Grey at_first = bench.draw({sketch}, 0.1).front();
        double most = 0;
        for (double when = 0.35; when < drawings::seconds_a_turn; when += 0.25) {
            most = std::max(most, apart(at_first, bench.draw({sketch}, when).front()));
        }
        return most > 0.003;
    };
    CHECK(moves("beat_now", "steady"));
    CHECK(moves("beat_now", "flutter"));
    CHECK(moves("needle", "wide_swing"));
    CHECK_FALSE(moves("needle", "steady"));
    CHECK(moves("outlet_flow", "spurts"));
    CHECK(moves("header_trend", "falls_slowly"));
    CHECK_FALSE(moves("valve_face", "clean"));
}

TEST_CASE("the level of a course stays for most of a step and then goes to the next") {
    using drawings::level_at;
    const float step = drawings::seconds_a_step;
    CHECK(level_at("", 3.0f) == 1.0f);
    CHECK(level_at("9", 7.0f) == 1.0f);
    CHECK(level_at("09", 0.0f) == 0.0f);
    CHECK(level_at("09", 0.5f * step) == 0.0f);
    CHECK(level_at("09", 0.8f * step) == doctest::Approx(0.5f));
    CHECK(level_at("09", 1.2f * step) == doctest::Approx(1.0f));
    CHECK(level_at("09", 2.1f * step) == doctest::Approx(0.0f)); // from its start again
    CHECK(level_at("3", 0.0f) == doctest::Approx(1.0f / 3.0f));
}
