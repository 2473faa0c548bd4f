#include "tests/support/knocks.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <random>

namespace beckhand {

namespace {

using Random = std::mt19937;
constexpr double pi = std::numbers::pi;

double normal(Random& random) { return std::normal_distribution<double>()(random); }
double between(Random& random, double least, double most) {
    return std::uniform_real_distribution<double>(least, most)(random);
}

/// What a valve sounds like: a few damped tones of its own and a short hiss.
std::vector<double> sound_of(Random& random, double lowest, double highest, double rate) {
    constexpr double lasts = 0.3;
    std::vector<double> made(static_cast<std::size_t>(lasts * rate));
    for (int tone = 0; tone < 4; ++tone) {
        const double hertz = between(random, lowest, highest), fall = between(random, 0.015, 0.06), part = between(random, 0.3, 1.0);
        for (std::size_t i = 0; i < made.size(); ++i) {
            const double t = static_cast<double>(i) / rate;
            made[i] += part * std::exp(-t / fall) * std::sin(2 * pi * hertz * t);
        }
    }
    const double hiss = between(random, 0.2, 0.8);
    for (std::size_t i = 0; i < made.size(); ++i) {
        const double t = static_cast<double>(i) / rate;
        made[i] += hiss * normal(random) * std::exp(-t / 0.01);
        made[i] *= std::min(1.0, t / 0.001);
    }
    return made;
}

void add(std::vector<double>& to, const std::vector<double>& sound, double at, double loud, double rate) {
    const auto first = static_cast<std::size_t>(at * rate);
    for (std::size_t i = 0; i < sound.size() && first + i < to.size(); ++i) to[first + i] += loud * sound[i];
}

/// Two poles each: what lies between 90 and 8000 Hz passes.
std::vector<double> in_band(const std::vector<float>& samples, double rate) {
    std::vector<double> out(samples.begin(), samples.end());
    const double low = 1 - std::exp(-2 * pi * 90 / rate), high = 1 - std::exp(-2 * pi * std::min(8000.0, 0.4 * rate) / rate);
    for (int pass = 0; pass < 2; ++pass) {
        double slow = 0, fast = 0;
        for (double& x : out) {
            fast += high * (x - fast);
            slow += low * (fast - slow);
            x = fast - slow;
        }
    }
    return out;
}

double power(const std::vector<double>& samples) {
    double sum = 0;
    for (const double x : samples) sum += x * x;
    return sum / static_cast<double>(std::max<std::size_t>(samples.size(), 1));
}

/// P. Kellet's filter for pink noise out of white (from memory), good to half a decibel.
struct Pink {
    double b[7] = {};
    double operator()(double white) {
        b[0] = 0.99886 * b[0] + white * 0.0555179, b[1] = 0.99332 * b[1] + white * 0.0750759;
        b[2] = 0.96900 * b[2] + white * 0.1538520, b[3] = 0.86650 * b[3] + white * 0.3104856;
        b[4] = 0.55000 * b[4] + white * 0.5329522, b[5] = -0.7616 * b[5] - white * 0.0168980;
        const double sum = b[0] + b[1] + b[2] + b[3] + b[4] + b[5] + b[6] + white * 0.5362;
        b[6] = white * 0.115926;
        return sum;
    }
};

} // namespace

Knocks knocks(const KnockRecipe& recipe, std::uint32_t seed) {
    Random random(seed);
    const double rate = recipe.samples_per_second, beat = 60 / recipe.beats_per_minute;
    std::vector<double> sum(static_cast<std::size_t>(recipe.seconds * rate));
    const std::vector<double> waste = sound_of(random, 250, 1800, rate), check = sound_of(random, 400, 3000, rate);
    struct Echo { double after, loud; };
    std::vector<Echo> echoes{{0, 1}};
    for (int i = 0; recipe.echoes && i < 3; ++i) echoes.push_back({between(random, 0.02, 0.18), between(random, 0.1, 0.45)});

    std::vector<double> at;
    for (double t = between(random, 0, beat); t < recipe.seconds; t += beat * (1 + recipe.jitter * normal(random))) at.push_back(t);
    for (const double t : at) {
        const double loud = std::exp(recipe.uneven * normal(random));
        const double loud_second = recipe.second * std::exp(recipe.uneven * normal(random));
        const double off = std::abs(beat * recipe.jitter * normal(random) * 0.5);
        for (const Echo& echo : echoes) {
            add(sum, waste, t + off + echo.after, loud * echo.loud, rate);
            if (recipe.second > 0) add(sum, check, t + off + beat * recipe.second_at + echo.after, loud_second * echo.loud, rate);
        }
    }
    Knocks made;
    made.samples.assign(sum.begin(), sum.end());
    made.beats_per_minute = at.size() > 1 ? 60 * static_cast<double>(at.size() - 1) / (at.back() - at.front()) : 0;
    return made;
}

std::vector<float> noise(Noise kind, double seconds, double samples_per_second, std::uint32_t seed) {
    Random random(seed);
    const double rate = samples_per_second;
    std::vector<float> made(static_cast<std::size_t>(seconds * rate));
    Pink pink;
    double brown = 0;
    const double keep = std::exp(-2 * pi * 40 / rate); // brown above 40 Hz
    // swelling: a random level that changes within a second or so; bursts; syllables
    double swell = 0, burst = 0, burst_fall = 1;
    double syllable_left = 0, pause_left = 0, syllable_length = 0.2, f1 = 500, f2 = 1500, loud = 1, voice = 120, phase = 0;
    for (std::size_t i = 0; i < made.size(); ++i) {
        const double white = normal(random);
        brown = keep * brown + white * std::sqrt(1 - keep * keep);
        double x = 0;
        switch (kind) {
        case Noise::pink: x = pink(white) * 0.3; break;
        case Noise::brown: x = brown; break;
        case Noise::gusts:
            swell += (normal(random) * std::sqrt(2 / (0.6 * rate)) - swell / (0.6 * rate));
            x = brown * std::exp(0.9 * swell) + 0.1 * pink(white);
            break;
        case Noise::splashes:
            if (between(random, 0, 1) < 2.0 / rate) burst = between(random, 1, 6), burst_fall = std::exp(-1 / (between(random, 0.01, 0.08) * rate));
            burst *= burst_fall;
            x = pink(white) * (0.3 + burst);
            break;
        case Noise::speech: {
            if (syllable_left <= 0 && pause_left <= 0) {
                syllable_length = between(random, 0.09, 0.32);
                syllable_left = syllable_length;
                pause_left = between(random, 0, 1) < 0.15 ? between(random, 0.2, 0.9) : between(random, 0.0, 0.05);
                f1 = between(random, 300, 900), f2 = between(random, 900, 2500), loud = std::exp(0.4 * normal(random));
                voice = between(random, 95, 160);
            }
            const double dt = 1 / rate;
            if (syllable_left > 0) {
                syllable_left -= dt;
                const double share = 1 - syllable_left / syllable_length;
                phase += voice * dt;
                phase -= std::floor(phase);
                const double t = phase / voice;
                const double body = std::exp(-t * 400) * (std::sin(2 * pi * f1 * t) + 0.6 * std::sin(2 * pi * f2 * t));
                x = loud * std::sin(pi * std::clamp(share, 0.0, 1.0)) * (body + 0.15 * white);
            } else {
                pause_left -= dt;
            }
            x += 0.01 * pink(white);
            break;
        }
        }
        made[i] = static_cast<float>(x);
    }
    return made;
}

std::vector<float> mixed(const std::vector<float>& signal, const std::vector<float>& noise, double decibels, double samples_per_second) {
    const double want = std::pow(10.0, decibels / 10);
    const double have = power(in_band(signal, samples_per_second)) / power(in_band(noise, samples_per_second));
    const double gain = std::sqrt(have / want);
    std::vector<float> sum(signal.size());
    float peak = 1e-9f;
    for (std::size_t i = 0; i < sum.size(); ++i) {
        sum[i] = signal[i] + static_cast<float>(gain) * noise[i % noise.size()];
        peak = std::max(peak, std::abs(sum[i]));
    }
    for (float& x : sum) x *= 0.5f / peak;
    return sum;
}

} // namespace beckhand
