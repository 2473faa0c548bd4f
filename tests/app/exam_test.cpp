// How good the diagnosis is, held by floors on a short exam; the long form measures the targets. No outside source: the
// figures that should be reached are our own, and the visits are drawn from the model itself.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "app/terminal/exam_text.h"
#include "tests/support/shipped_model.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using tests::shipped_model;
using tests::shipped_pack;

const PolicyRow& row_of(const ExamReport& report, ExamPolicy policy) {
    return *std::find_if(report.policies.begin(), report.policies.end(), [&](const PolicyRow& row) { return row.policy == policy; });
}

ExamReport taken(const ExamWish& wish) {
    ExamJob job(shipped_pack(), shipped_model(), wish);
    while (step(job)) {}
    CHECK(progress(job) == 1);
    return report_of(job);
}

// --- the scores, on cases that can be reckoned by hand ---

TEST_CASE("scores of a belief that is always right, and of one that is always wrong") {
    const Calibration right = calibration_of({{1, true}, {0, false}, {1, true}}, 3);
    CHECK(right.brier == doctest::Approx(0));
    CHECK(right.ece == doctest::Approx(0));
    CHECK(right.by_chance == doctest::Approx(0));
    const Calibration wrong = calibration_of({{1, false}, {0, true}}, 2);
    CHECK(wrong.brier == doctest::Approx(1));
    CHECK(wrong.ece == doctest::Approx(1));
}

TEST_CASE("a quarter said of what comes half the time is off by a quarter") {
    const Calibration c = calibration_of({{0.25, true}, {0.25, false}, {0.25, true}, {0.25, false}}, 1);
    CHECK(c.ece == doctest::Approx(0.25));
    CHECK(c.brier == doctest::Approx((2 * 0.5625 + 2 * 0.0625) / 4));
    CHECK(c.log_score == doctest::Approx(-(std::log(0.25) + std::log(0.75)) / 2));
    REQUIRE(c.bins.size() == 1);
    CHECK(c.bins.front().count == 4);
}

TEST_CASE("bins hold alike many, and honest chances are off by chance alone") {
    Dice dice(3);
    std::vector<Claim> said;
    for (int i = 0; i < 30'000; ++i) {
        const double chance = dice.even();
        said.push_back({chance, dice.even() < chance});
    }
    const Calibration c = calibration_of(said);
    REQUIRE(c.bins.size() == calibration_bins);
    for (const CalibrationBin& bin : c.bins) CHECK(bin.count == 2000);
    CHECK(c.ece < 2 * c.by_chance);
    CHECK(c.by_chance < 0.01);
    CHECK(c.brier == doctest::Approx(1.0 / 6).epsilon(0.03)); // mean of p(1-p) over 0..1
}

// --- the drawn visits ---

TEST_CASE("a drawn index comes as often as it weighs, and never where it weighs nothing") {
    Dice dice(7);
    std::vector<int> count(4, 0);
    for (int i = 0; i < 10'000; ++i) ++count[drawn_index({1, 0, 3, 0}, dice.even())];
    CHECK(count[1] == 0);
    CHECK(count[3] == 0);
    CHECK(count[2] / 10'000.0 == doctest::Approx(0.75).epsilon(0.03));
}

TEST_CASE("answers are drawn as often as the model says, slips and cannot-tells among them") {
    const Model& model = shipped_model();
    constexpr int visits = 3000;
    const Hypothesis truth = model.hypotheses()[5];
    std::vector<std::vector<int>> count;
    for (std::size_t o = 0; o < model.observations(); ++o) count.emplace_back(model.answers(o), 0);
    for (int i = 0; i < visits; ++i) {
        Dice dice(static_cast<std::uint64_t>(i));
        const DrawnVisit drawn = draw_visit(shipped_pack(), model, truth, Person::newcomer, 1, dice);
        for (std::size_t o = 0; o < count.size(); ++o) ++count[o][drawn.shows[o]];
    }
    for (std::size_t o = 0; o < count.size(); ++o) {
        const double slip = model.slip_of(o, Person::newcomer);
        for (std::size_t a = 0; a < count[o].size(); ++a) {
            if (model.is_cannot(o, a)) continue;
            const double chance = (1 - model.cannot_share()) *
                                  ((1 - slip) * model.shows(o, truth.first, a) + slip * model.background(o, a));
            CHECK(std::abs(count[o][a] / static_cast<double>(visits) - chance) < 5 * std::sqrt(0.25 / visits));
        }
    }
}

TEST_CASE("the same visit with other slips is the same visit elsewhere") {
    const Model& model = shipped_model();
    Dice one(9), other(9);
    const DrawnVisit few = draw_visit(shipped_pack(), model, model.hypotheses()[200], Person::keeper, 0, one);
    const DrawnVisit many = draw_visit(shipped_pack(), model, model.hypotheses()[200], Person::keeper, 10, other);
    CHECK(few.luck == many.luck);
    std::size_t same = 0;
    for (std::size_t o = 0; o < few.shows.size(); ++o) same += few.shows[o] == many.shows[o];
    CHECK(same > few.shows.size() / 4);
    CHECK(same < few.shows.size());
}

// --- the exam ---

TEST_CASE("the same wish gives the same report, another seed another one, and an exam can be cut short") {
    ExamWish wish;
    wish.visits = 4;
    const std::string first = exam_json(shipped_pack(), taken(wish));
    CHECK(first == exam_json(shipped_pack(), taken(wish)));
    wish.seed = 2;
    CHECK(first != exam_json(shipped_pack(), taken(wish)));
    ExamJob job(shipped_pack(), shipped_model(), wish);
    for (int i = 0; i < 5; ++i) CHECK(step(job));
    const ExamReport cut = report_of(job);
    CHECK(cut.visits > 0);
    CHECK(cut.visits < wish.visits);
    CHECK(progress(job) < 1);
}

TEST_CASE("a short exam stays above its floors; BECKHAND_VISITS=4000 measures the targets") {
    const char* const asked = std::getenv("BECKHAND_VISITS");
    ExamWish wish;
    wish.visits = asked != nullptr ? std::strtoul(asked, nullptr, 10) : 120;
    wish.figures = asked != nullptr;
    const ExamReport report = taken(wish);
    MESSAGE(exam_text(shipped_pack(), report));
    REQUIRE(report.visits == wish.visits);
    const PolicyRow& ours = row_of(report, ExamPolicy::ours);
    // Floors guard against getting worse; they lie about two standard errors of a short exam from what was measured.
    CHECK(ours.minutes.mean < 0.9 * row_of(report, ExamPolicy::telling_belief).minutes.mean);
    CHECK(ours.minutes.mean < 0.8 * row_of(report, ExamPolicy::walk).minutes.mean);
    CHECK(ours.minutes.mean < 0.65 * row_of(report, ExamPolicy::telling_on).minutes.mean);
    CHECK(ours.over_knowing < 2.6);
    CHECK(ours.looking + ours.walking < ours.asking_minutes.mean);
    CHECK(report.healthy.named >= 0.75);
    CHECK(report.healthy_ceiling >= 0.85);
    if (wish.figures) CHECK(report.healthy_measured.named > report.healthy.named);
    CHECK(ours.asked.mean <= 13);
    for (const QuestionsRow& row : report.questions) {
        CHECK(row.ours.right >= row.telling.right - 0.10);
        CHECK(row.ours.in_three > row.ours.right);
        CHECK(row.honest.ece <= 0.03 + 2 * row.honest.by_chance);
        CHECK(row.more_slips.ece <= 0.08 + 2 * row.more_slips.by_chance);
    }
    CHECK(report.everything.in_three >= report.questions.back().ours.in_three - 0.05);
}

} // namespace
} // namespace beckhand
