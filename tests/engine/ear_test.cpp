// The beat by ear: recordings of pumps that never were, with knocks uneven, doubled and echoing, under water and wind.
// BECKHAND_RECORDINGS=N: so many seeds for each rate; the table of every loudness is printed then.
#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <random>

#include "engine/measuring/ear.h"
#include "tests/support/knocks.h"

using namespace beckhand;

namespace {

constexpr std::array noises{Noise::pink, Noise::brown, Noise::gusts, Noise::splashes};

unsigned seeds() {
    const char* const wanted = std::getenv("BECKHAND_RECORDINGS");
    return wanted != nullptr ? static_cast<unsigned>(std::max(1, std::atoi(wanted))) : 0;
}

HeardBeat hear(const std::vector<float>& samples, double rate) {
    Ear ear(rate);
    ear.hear(samples);
    return ear.beat();
}

struct Count { int right = 0, refused = 0, wrong = 0; };

/// A pump of this rate, its other habits drawn: jitter to 2 %, knocks uneven by 5 to 30 %, and in every other one the
/// check valve's sound, 0.2 to 0.7 as loud, 8 to 42 % of a beat later.
KnockRecipe drawn(double rate, unsigned seed) {
    std::mt19937 random(seed * 1000 + static_cast<unsigned>(rate));
    const auto between = [&](double least, double most) { return std::uniform_real_distribution<double>(least, most)(random); };
    KnockRecipe recipe;
    recipe.beats_per_minute = rate;
    recipe.seconds = rate < slow_below ? most_seconds_heard : seconds_to_hear;
    recipe.jitter = between(0, 0.02);
    recipe.uneven = between(0.05, 0.3);
    const bool doubled = (static_cast<int>(rate / 10) + static_cast<int>(seed)) % 2 == 0;
    recipe.second = doubled ? between(0.2, 0.7) : 0;
    recipe.second_at = between(0.08, 0.42);
    return recipe;
}

void count_at(std::span<const double> loudness, std::span<Count> counts, unsigned from, unsigned to) {
    for (unsigned seed = from; seed < to; ++seed) {
        for (double rate = slowest_heard; rate <= fastest_heard; rate += 10) {
            const KnockRecipe recipe = drawn(rate, seed);
            const Knocks made = knocks(recipe, seed * 7919 + static_cast<unsigned>(rate));
            const auto which = static_cast<std::size_t>(seed + static_cast<unsigned>(rate / 10) * 3) % noises.size();
            const auto around = noise(noises[which], recipe.seconds, recipe.samples_per_second, seed * 31 + static_cast<unsigned>(rate));
            for (std::size_t i = 0; i < loudness.size(); ++i) {
                const HeardBeat heard = hear(mixed(made.samples, around, loudness[i], recipe.samples_per_second), recipe.samples_per_second);
                const double off = heard.rate.value.in(beats_per_minute) - made.beats_per_minute;
                if (heard.why != Unheard::none) ++counts[i].refused;
                else if (std::abs(off) <= 1) ++counts[i].right;
                else ++counts[i].wrong;
            }
        }
    }
}

} // namespace

TEST_CASE("every beat from 20 to 180 is heard within one a minute, down to where the noise is as strong as the knocks") {
    const std::array loudness{20.0, 0.0};
    std::array<Count, 2> counts;
    count_at(loudness, counts, 0, 1);
    for (std::size_t i = 0; i < loudness.size(); ++i) {
        CAPTURE(loudness[i]);
        CHECK(counts[i].right == 17);
        CHECK(counts[i].wrong == 0);
    }
}

TEST_CASE("where the noise is stronger than the knocks the beat is heard or refused") {
    const std::array loudness{-6.0, -15.0};
    std::array<Count, 2> counts;
    count_at(loudness, counts, 0, 1);
    for (const Count& count : counts) CHECK(count.wrong == 0);
    CHECK(counts[0].right > counts[1].right);
}

TEST_CASE("the long form: many recordings at every loudness") {
    if (seeds() == 0) return;
    const std::array loudness{20.0, 10.0, 5.0, 0.0, -3.0, -6.0, -10.0, -15.0, -20.0};
    std::array<Count, 9> counts;
    count_at(loudness, counts, 0, seeds());
    int wrong = 0, all = 0;
    for (std::size_t i = 0; i < loudness.size(); ++i) {
        const Count& count = counts[i];
        const int here = count.right + count.refused + count.wrong;
        std::cout << loudness[i] << " dB: right " << count.right << ", refused " << count.refused << ", wrong " << count.wrong << "\n";
        wrong += count.wrong, all += here;
        if (loudness[i] >= 0) CHECK(count.right >= 0.98 * here);
        if (loudness[i] >= 0) CHECK(count.wrong == 0);
    }
    std::cout << "wrong answers: " << wrong << " of " << all << "\n";
    CHECK(wrong <= 0.005 * all);
}

TEST_CASE("sound without a beat is refused: water, wind, splashes, talk, silence") {
    const unsigned takes = std::max(3u, 5 * seeds());
    int answered = 0, all = 0;
    for (const Noise kind : {Noise::pink, Noise::brown, Noise::gusts, Noise::splashes, Noise::speech}) {
        for (unsigned seed = 0; seed < takes; ++seed) {
            std::vector<float> samples = noise(kind, seconds_to_hear, 22050, 70000 + seed);
            for (float& sample : samples) sample *= 0.1f;
            const HeardBeat heard = hear(samples, 22050);
            answered += heard.why == Unheard::none ? 1 : 0;
            ++all;
        }
    }
    if (seeds() > 0) std::cout << "answered without a beat: " << answered << " of " << all << "\n";
    CHECK(answered <= all / 200);
    CHECK(hear(std::vector<float>(22050 * 30, 0.0f), 22050).why == Unheard::silent);
    CHECK(hear(std::vector<float>(22050 * 5, 0.1f), 22050).why == Unheard::too_short);
}

TEST_CASE("the rate is the same at every rate of samples, and in pieces of any length") {
    for (const double rate : {8000.0, 16000.0, 44100.0, 48000.0}) {
        KnockRecipe recipe;
        recipe.beats_per_minute = 53;
        recipe.samples_per_second = rate;
        recipe.seconds = 30;
        const Knocks made = knocks(recipe, 5);
        const auto samples = mixed(made.samples, noise(Noise::pink, 30, rate, 6), 6, rate);
        const HeardBeat whole = hear(samples, rate);
        CHECK(whole.why == Unheard::none);
        CHECK(std::abs(whole.rate.value.in(beats_per_minute) - made.beats_per_minute) < 0.5);
        Ear ear(rate);
        for (std::size_t at = 0; at < samples.size(); at += 777) {
            ear.hear(std::span<const float>(samples).subspan(at, std::min<std::size_t>(777, samples.size() - at)));
        }
        CHECK(ear.beat().rate.value == whole.rate.value);
        CHECK(ear.seconds() == doctest::Approx(30).epsilon(0.01));
    }
}

TEST_CASE("a beat faster than a ram's is refused, not halved") {
    for (const double rate : {230.0, 260.0, 300.0}) {
        KnockRecipe recipe;
        recipe.beats_per_minute = rate;
        recipe.seconds = 30;
        recipe.uneven = 0.1;
        recipe.echoes = false;
        CHECK(hear(knocks(recipe, 9).samples, recipe.samples_per_second).why != Unheard::none);
    }
}

TEST_CASE("a second knock half as loud, half a beat later, never doubles the rate") {
    for (const double rate : {45.0, 80.0}) {
        for (const double at : {0.46, 0.5}) {
            for (unsigned seed = 40; seed < 44; ++seed) {
                KnockRecipe recipe;
                recipe.beats_per_minute = rate;
                recipe.seconds = 30;
                recipe.second = 0.5;
                recipe.second_at = at;
                const Knocks made = knocks(recipe, seed);
                const HeardBeat heard = hear(mixed(made.samples, noise(Noise::pink, 30, recipe.samples_per_second, seed), 12, recipe.samples_per_second),
                                             recipe.samples_per_second);
                // Either it tells the two valves apart or it says that it cannot.
                CHECK((heard.why != Unheard::none || std::abs(heard.rate.value.in(beats_per_minute) - made.beats_per_minute) < 1));
            }
        }
    }
}

TEST_CASE("a beat that stops half way is not given as a beat") {
    KnockRecipe recipe;
    recipe.seconds = 30;
    Knocks made = knocks(recipe, 12);
    for (std::size_t i = made.samples.size() / 2; i < made.samples.size(); ++i) made.samples[i] = 0;
    const auto samples = mixed(made.samples, noise(Noise::pink, 30, recipe.samples_per_second, 4), 10, recipe.samples_per_second);
    CHECK(hear(samples, recipe.samples_per_second).why == Unheard::no_beat);
}
