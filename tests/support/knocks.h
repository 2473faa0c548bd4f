// Recordings of pumps that never were: knocks with all that makes them hard to hear, and noises without any.
#pragma once

#include <cstdint>
#include <vector>

namespace beckhand {

struct KnockRecipe {
    double beats_per_minute = 60;
    double seconds = 20;
    double samples_per_second = 22050;
    double jitter = 0.01;             // of a beat, one standard deviation, carried on from beat to beat
    double uneven = 0.2;              // loudness from knock to knock, natural logarithm
    double second = 0;                // loudness of the check valve's sound, to the waste valve's; 0: none
    double second_at = 0.2;           // when it comes, share of the beat
    bool echoes = true;
};

/// Knocks alone, and the rate that they really have: counted over the take, with the jitter they got.
struct Knocks {
    std::vector<float> samples;
    double beats_per_minute = 0;
};
[[nodiscard]] Knocks knocks(const KnockRecipe& recipe, std::uint32_t seed);

enum class Noise {
    pink, brown,
    gusts,      // brown, swelling and falling
    splashes,   // pink with short bursts at random times
    speech      // syllables of changing length and pitch, with pauses
};
[[nodiscard]] std::vector<float> noise(Noise kind, double seconds, double samples_per_second, std::uint32_t seed);

/// Knocks and noise such that the knocks' power is so many dB over the noise's. Both as root mean square over the whole
/// take, between 90 and 8000 Hz, where the ear listens (common practice for mixtures; the active level of ITU-T P.56,
/// which counts only while there is sound, would call the same mixture better by as much as the knocks are short).
[[nodiscard]] std::vector<float> mixed(const std::vector<float>& signal, const std::vector<float>& noise, double decibels,
                                       double samples_per_second);

} // namespace beckhand
