// From samples to moments: a short-time spectrum and a bank of triangular filters, both of aubio.
#include "engine/measuring/ear.h"

#include <algorithm>
#include <cmath>
#include <deque>

#include <aubio/aubio.h>

namespace beckhand {

namespace {

constexpr double moments_wanted = 100;       // a second
constexpr double window_seconds = 0.022;     // a knock's onset is not spread over more than two moments
constexpr double lowest_pitch = 90, highest_pitch = 8000;
constexpr double level_seconds = 0.2;

std::size_t power_of_two_near(double n) {
    std::size_t size = 64;
    while (static_cast<double>(size) * 1.4 < n) size *= 2;
    return size;
}

template <auto free>
struct Freed {
    void operator()(auto* made) const { free(made); }
};
using Row = std::unique_ptr<fvec_t, Freed<del_fvec>>;
using Spectrum = std::unique_ptr<cvec_t, Freed<del_cvec>>;

} // namespace

struct Ear::Inside {
    double rate;
    unsigned hop;
    unsigned window;
    std::unique_ptr<aubio_pvoc_t, Freed<del_aubio_pvoc>> spectra;
    std::unique_ptr<aubio_filterbank_t, Freed<del_aubio_filterbank>> bank;
    Row in, out;
    Spectrum spectrum;
    unsigned filled = 0;
    std::vector<Moment> take;
    std::deque<double> squares;   // of each moment, for the level

    explicit Inside(double samples_per_second)
        : rate(samples_per_second), hop(static_cast<unsigned>(std::lround(rate / moments_wanted))),
          window(static_cast<unsigned>(power_of_two_near(rate * window_seconds))), spectra(new_aubio_pvoc(window, hop)),
          bank(new_aubio_filterbank(pitches, window)), in(new_fvec(hop)), out(new_fvec(pitches)), spectrum(new_cvec(window)) {
        const double top = std::min(highest_pitch, 0.45 * rate);
        const Row edges(new_fvec(pitches + 2));
        for (std::size_t i = 0; i < pitches + 2; ++i) {
            const double share = static_cast<double>(i) / (pitches + 1);
            edges->data[i] = static_cast<smpl_t>(lowest_pitch * std::pow(top / lowest_pitch, share));
        }
        aubio_filterbank_set_triangle_bands(bank.get(), edges.get(), static_cast<smpl_t>(rate));
    }

    [[nodiscard]] double per_second() const { return rate / hop; }

    void moment() {
        aubio_pvoc_do(spectra.get(), in.get(), spectrum.get());
        aubio_filterbank_do(bank.get(), spectrum.get(), out.get());
        Moment made{};
        std::copy(out->data, out->data + pitches, made.begin());
        take.push_back(made);
        double square = 0;
        for (unsigned i = 0; i < hop; ++i) square += static_cast<double>(in->data[i]) * in->data[i] / hop;
        squares.push_back(square);
        if (static_cast<double>(squares.size()) > level_seconds * per_second()) squares.pop_front();
        // Forgotten a good piece at a time, so that the rest moves seldom.
        const auto most = static_cast<std::size_t>(most_seconds_heard * per_second());
        if (take.size() >= most + most / 8) take.erase(take.begin(), take.begin() + static_cast<std::ptrdiff_t>(most / 8));
    }
};

Ear::Ear(double samples_per_second) : inside_(std::make_unique<Inside>(std::max(samples_per_second, 8000.0))) {}
Ear::~Ear() = default;
Ear::Ear(Ear&&) noexcept = default;
Ear& Ear::operator=(Ear&&) noexcept = default;

void Ear::hear(std::span<const float> samples) {
    for (const float sample : samples) {
        inside_->in->data[inside_->filled++] = std::isfinite(sample) ? std::clamp(sample, -1.0f, 1.0f) : 0.0f;
        if (inside_->filled == inside_->hop) {
            inside_->filled = 0;
            inside_->moment();
        }
    }
}

HeardBeat Ear::beat() const {
    // The first moments hear the sound begin, which is no knock.
    constexpr std::size_t beginning = 4;
    const std::span<const Moment> take(inside_->take);
    return beat_in(take.size() > beginning ? take.subspan(beginning) : take, inside_->per_second());
}

double Ear::seconds() const { return static_cast<double>(inside_->take.size()) / inside_->per_second(); }

double Ear::level() const {
    double sum = 0;
    for (const double square : inside_->squares) sum += square;
    return inside_->squares.empty() ? 0 : std::sqrt(sum / static_cast<double>(inside_->squares.size()));
}

} // namespace beckhand
