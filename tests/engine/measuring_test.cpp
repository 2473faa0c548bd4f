// Measuring with what the hand has: taps, bucket and watch, heights, source flow.
#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <random>
#include <vector>

#include "engine/measuring/bucket.h"
#include "engine/measuring/heights.h"
#include "engine/measuring/source_flow.h"
#include "engine/measuring/taps.h"

using namespace beckhand;

namespace {

std::vector<double> even_taps(double period, int n) {
    std::vector<double> taps;
    for (int i = 0; i < n; ++i) taps.push_back(5 + period * i);
    return taps;
}

double per_minute(const TappedBeat& beat) { return beat.rate.value.in(beats_per_minute); }

/// A hand that is off by itself each time, on a pump whose beats carry on from each other.
struct Tapper {
    std::mt19937 random;
    double period, hand, pump, now = 0;
    double next() {
        std::normal_distribution<double> normal;
        const double tapped = now + hand * normal(random);
        now += period * (1 + pump * normal(random));
        return tapped;
    }
};

} // namespace

TEST_CASE("even taps give their rate, and are sure") {
    for (const double rate : {20.0, 53.0, 120.0, 180.0}) {
        const TappedBeat beat = beat_of_taps(even_taps(60 / rate, 12));
        CHECK(per_minute(beat) == doctest::Approx(rate));
        CHECK(beat.sure);
        CHECK(beat.beats == 11);
        CHECK(beat.missed + beat.doubled == 0);
    }
    CHECK(beat_of_taps(std::vector<double>{}).rate.value == Frequency{});
    CHECK(beat_of_taps(std::vector<double>{1, 2}).rate.value == Frequency{});
}

TEST_CASE("a missed tap is filled in, a doubled one left out, and neither moves the rate") {
    std::vector<double> taps = even_taps(1.2, 24);
    taps.erase(taps.begin() + 9);
    taps.erase(taps.begin() + 15, taps.begin() + 17);
    taps.insert(taps.begin() + 4, taps[3] + 0.15);
    const TappedBeat beat = beat_of_taps(taps);
    CHECK(per_minute(beat) == doctest::Approx(50.0));
    CHECK(beat.missed == 3);
    CHECK(beat.doubled == 1);
    CHECK(beat.sure);
}

TEST_CASE("taps without a beat are called unsteady and are never sure") {
    std::mt19937 random(3);
    std::exponential_distribution<double> gap(1.0);
    int sure = 0, unsteady = 0;
    for (int take = 0; take < 200; ++take) {
        std::vector<double> taps{0};
        for (int i = 0; i < 40; ++i) taps.push_back(taps.back() + 0.05 + gap(random));
        const TappedBeat beat = beat_of_taps(taps);
        sure += beat.sure ? 1 : 0;
        unsteady += beat.unsteady ? 1 : 0;
    }
    CHECK(sure == 0);
    CHECK(unsteady == 200);
}

TEST_CASE("when it first says sure, the rate is within one beat a minute in 95 of 100 takes") {
    for (const double rate : {40.0, 60.0, 90.0, 150.0}) {
        for (const double hand : {0.02, 0.04}) {
            for (const double pump : {0.0, 0.02}) {
                int sure = 0, right = 0;
                for (unsigned take = 0; take < 200; ++take) {
                    Tapper tapper{std::mt19937(take), 60 / rate, hand, pump};
                    std::vector<double> taps;
                    for (int i = 0; i < 200; ++i) {
                        taps.push_back(std::max(tapper.next(), taps.empty() ? -1.0 : taps.back() + 1e-3));
                        if (i < 8) continue;
                        const TappedBeat beat = beat_of_taps(taps);
                        if (!beat.sure) continue;
                        ++sure;
                        right += std::abs(per_minute(beat) - rate) <= 1 ? 1 : 0;
                        break;
                    }
                }
                CAPTURE(rate);
                CAPTURE(hand);
                CAPTURE(pump);
                CHECK(sure >= 150);
                CHECK(right >= 0.94 * sure); // 95 of 100, less what 200 takes can tell
            }
        }
    }
}

TEST_CASE("three fills of a bucket: the middle one counts") {
    const std::array fills{seconds(13.2), seconds(12.9), seconds(13.4)};
    const BucketFlow flow = flow_of_fills(litres(10), fills);
    CHECK(flow.flow.value.in(litres_per_minute) == doctest::Approx(10 / 13.2 * 60));
    CHECK_FALSE(flow.disagree);
    CHECK_FALSE(flow.short_fill);
    // The mark is good to 2 %, the three times to about 1.4 %.
    CHECK(flow.flow.error / flow.flow.value > 0.02);
    CHECK(flow.flow.error / flow.flow.value < 0.03);
}

TEST_CASE("a fill that went wrong does not move the flow, and is named") {
    const std::array fills{seconds(13.2), seconds(20.0), seconds(13.4)};
    const BucketFlow flow = flow_of_fills(litres(10), fills);
    CHECK(flow.flow.value.in(litres_per_minute) == doctest::Approx(10 / 13.4 * 60));
    CHECK(flow.disagree);
    CHECK(flow.furthest == 1);
}

TEST_CASE("short fills are the watch's more than the water's: the error says so") {
    const std::array quick{seconds(2.0), seconds(2.1), seconds(1.9)};
    const BucketFlow flow = flow_of_fills(litres(10), quick);
    CHECK(flow.short_fill);
    CHECK_FALSE(flow.disagree); // no more apart than a hand at a watch is
    CHECK(flow.flow.error / flow.flow.value > 0.035);
    CHECK(flow_of_fills(litres(10), {}).flow.value == FlowRate{});
}

TEST_CASE("the error of the bucket holds two of three times what a simulated hand gets") {
    std::mt19937 random(7);
    std::normal_distribution<double> normal;
    int within = 0;
    for (int take = 0; take < 2000; ++take) {
        const double volume = 10 * (1 + mark_error * normal(random));
        std::array<Duration, 3> fills;
        for (Duration& fill : fills) fill = seconds(volume / 40 * 60 + watch_error.si() * normal(random));
        const BucketFlow flow = flow_of_fills(litres(10), fills);
        within += std::abs(flow.flow.value.in(litres_per_minute) - 40) <= flow.flow.error.in(litres_per_minute) ? 1 : 0;
    }
    CHECK(within / 2000.0 > 0.66);
    CHECK(within / 2000.0 < 0.76);
}

TEST_CASE("heights add up, and their errors in squares") {
    const std::array drops{metres(1.32), metres(0.94), metres(1.1)};
    const auto hose = height_by_hose(drops);
    CHECK(hose.value.in(metres) == doctest::Approx(3.36));
    CHECK(hose.error.in(millimetres) == doctest::Approx(std::hypot(5 * std::sqrt(6.0), 3.36)));
    const std::array set_ups{SetUp{metres(0.4), metres(1.9)}, SetUp{metres(0.2), metres(1.65)}};
    const auto staff = height_by_staff(set_ups);
    CHECK(staff.value.in(metres) == doctest::Approx(2.95));
    CHECK(staff.error.in(millimetres) == doctest::Approx(10.0));
    const std::array wrong_way{SetUp{metres(1.9), metres(0.4)}};
    CHECK(height_by_staff(wrong_way).value < Length{});
}

TEST_CASE("a gauge not at zero is put right, and one with a large range is known less well") {
    const auto right = height_by_gauge(bar(1.5), bar(0.1), Celsius{15}, bar(4));
    const auto large = height_by_gauge(bar(1.5), bar(0.1), Celsius{15}, bar(16));
    CHECK(right.value == height_by_gauge(bar(1.4), bar(0), Celsius{15}, bar(4)).value);
    CHECK(large.error / right.error == doctest::Approx(4.0));
}

TEST_CASE("little water over a wide notch is called rough") {
    CHECK(flow_over_notch(Notch::degrees_90, millimetres(40)).shallow);
    CHECK_FALSE(flow_over_notch(Notch::degrees_90, millimetres(75)).shallow);
    const NotchFlow flow = flow_over_notch(Notch::degrees_90, millimetres(75));
    CHECK(flow.flow.error / flow.flow.value == doctest::Approx(std::hypot(2.5 * 2 / 75, 0.05)));
    CHECK(flow_over_notch(Notch::degrees_60, Length{}).flow.value == FlowRate{});
}

TEST_CASE("a float: section by depths, the middle time, the bed's coefficient") {
    const std::array times{seconds(14), seconds(15), seconds(13)};
    const std::array depths{centimetres(6), centimetres(9), centimetres(7)};
    const FloatFlow flow = flow_by_float(metres(5), times, metres(0.6), depths, float_over_stones);
    CHECK(flow.section.in(square_metres) == doctest::Approx(0.15 * 0.22));
    CHECK(flow.flow.value.in(litres_per_second) == doctest::Approx(0.8 * 33 * 5 / 14));
    CHECK_FALSE(flow.disagree);
    CHECK_FALSE(flow.shallow);
    const std::array stuck{seconds(14), seconds(25), seconds(13)};
    CHECK(flow_by_float(metres(5), stuck, metres(0.6), depths, float_over_stones).disagree);
    CHECK(flow_by_float(metres(5), times, metres(0.6), std::array{centimetres(2)}, float_over_stones).shallow);
}
