// The beat by ear: what a microphone gives, in pieces of any length, becomes the strength of a dozen pitches a
// hundred times a second; the beat is looked for in the whole take at once. Where it cannot be told it is refused,
// never guessed: a wrong beat misleads more than none.
//
//     Ear ear(48000);
//     ear.hear(samples);                       // again and again
//     const HeardBeat heard = ear.beat();      // after 30 s
#pragma once

#include <array>
#include <memory>
#include <span>
#include <vector>

#include "engine/measuring/with_error.h"
#include "engine/quantity/quantity.h"

namespace beckhand {

/// The rates that are looked for, beats a minute. A beat that is found to be beyond them is refused.
inline constexpr double slowest_heard = 20, fastest_heard = 180;
/// How long a take the tests' figures hold for: half a minute for 50 beats a minute and more, a minute for slower ones.
inline constexpr double seconds_to_hear = 30, slow_below = 50;
inline constexpr double least_seconds_heard = 8;   // a shorter take is refused
inline constexpr double most_seconds_heard = 60;   // older sound is forgotten; also what a slow beat takes

enum class Unheard {
    none,        // it was heard
    too_short,   // not enough sound yet
    silent,      // nothing at all comes from the microphone
    no_beat,     // sound, and no beat in it
    two_rates,   // a beat, but whether every knock or every other one is a beat cannot be told
    out_of_range // a beat faster than 180 or slower than 20 a minute
};

struct HeardBeat {
    Unheard why = Unheard::too_short;
    WithError<Frequency> rate;     // zero unless heard
    double stands_out = 0;         // the beat's peak above its surroundings, in their standard deviations
};

/// Strengths of the pitches in a hundredth of a second.
inline constexpr std::size_t pitches = 12;
using Moment = std::array<float, pitches>;

/// The beat in a take of so many moments a second. Pure: the same moments give the same beat.
[[nodiscard]] HeardBeat beat_in(std::span<const Moment> take, double moments_per_second);

class Ear {
public:
    /// `samples_per_second` 8000 and more.
    explicit Ear(double samples_per_second);
    ~Ear();
    Ear(Ear&&) noexcept;
    Ear& operator=(Ear&&) noexcept;

    /// One channel, -1 to 1.
    void hear(std::span<const float> samples);
    [[nodiscard]] HeardBeat beat() const;
    /// Of sound that is remembered.
    [[nodiscard]] double seconds() const;
    /// Of the last fifth of a second, root mean square, 0 to 1.
    [[nodiscard]] double level() const;

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

} // namespace beckhand
