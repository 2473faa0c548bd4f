// The beat in a take, in four steps:
//   1 onsets: how much louder each pitch grew, above its usual strength (spectral flux, S. Dixon, Onset detection
//     revisited, DAFx 2006), so that steady water and a hum count for nothing and a single bang for no more than a knock
//   2 how alike the onsets are to themselves a while later, for every while (autocorrelation, unbiased)
//   3 the period whose first multiples stand out most from what chance gives; then whether a half or a third of it, or
//     twice or three times it, is the beat: a ram knocks twice a beat, and the two differ
//   4 the period once more by its far multiples, for accuracy, and by each half of the take alone, for trust
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>

#include "engine/measuring/ear.h"
#include "engine/measuring/middle.h"

namespace beckhand {

namespace {

constexpr double fewest_beats = 5;         // in the take
constexpr double shortest_tried = 0.15;    // s: also beats that are too fast are found, to be refused
constexpr double furthest = 0.75;          // of the take: longest while compared
constexpr std::size_t multiples = 4;
constexpr double stands_out_least = 7.5;
constexpr double each_multiple_least = 0.35;                // of their mean
constexpr double clearly_less = 0.6, clearly_alike = 0.9;   // of one knock to the next
constexpr double alike_enough = 0.7, alike_in_loudness = 0.8;                       // of every other knock of what may be a beat
constexpr double chances_allowed = 1.5;                       // standard deviations
constexpr Frequency finest = beats_per_minute(0.1);         // no pump keeps its beat better
constexpr double half_least = 0.35;                         // a half of the take, of the whole
constexpr double loud_once = 1.5;                           // a bang counts for no more, to the usual loud ones

std::ptrdiff_t signed_of(std::size_t n) { return static_cast<std::ptrdiff_t>(n); }

/// What a pitch usually is around each moment: the middle strength within a second and a half to either side, worked out
/// every half second. Gusts make their own surroundings louder, and count for no more than still water.
std::vector<float> usual_around(const std::vector<float>& strengths, double per_second) {
    const auto reach = static_cast<std::size_t>(1.5 * per_second), step = static_cast<std::size_t>(0.5 * per_second);
    const std::size_t n = strengths.size();
    const float loudest = *std::max_element(strengths.begin(), strengths.end());
    std::vector<float> usual(n);
    for (std::size_t start = 0; start < n; start += step) {
        const std::size_t centre = std::min(start + step / 2, n - 1);
        const std::size_t from = centre > reach ? centre - reach : 0, to = std::min(n, centre + reach + 1);
        const float middle = middle_of(std::vector<float>(strengths.begin() + signed_of(from), strengths.begin() + signed_of(to)));
        std::fill(usual.begin() + signed_of(start), usual.begin() + signed_of(std::min(n, start + step)), std::max({middle, 1e-3f * loudest, 1e-9f}));
    }
    return usual;
}

/// Above its usual strength, to this power, how much each pitch grew since the moment before. The root finds faint knocks
/// best; the strength itself tells loud from less loud.
std::vector<Moment> growth(std::span<const Moment> take, double per_second, float power) {
    std::vector<Moment> grown(take.size());
    for (std::size_t p = 0; p < pitches; ++p) {
        std::vector<float> strengths;
        for (const Moment& moment : take) strengths.push_back(moment[p]);
        const std::vector<float> usual = usual_around(strengths, per_second);
        for (std::size_t t = 1; t < take.size(); ++t) {
            grown[t][p] = std::max(0.0f, std::pow(take[t][p] / usual[t], power) - std::pow(take[t - 1][p] / usual[t], power));
        }
    }
    return grown;
}

float sum_of(const Moment& moment) {
    float sum = 0;
    for (const float x : moment) sum += x;
    return sum;
}

/// So that a few bangs do not drown the knocks: nothing counts for much more than the n-th loudest.
void calm(std::vector<Moment>& grown, double per_second) {
    const auto apart = static_cast<std::size_t>(0.15 * per_second);
    std::vector<float> peaks;
    for (std::size_t start = 0; start < grown.size(); start += apart) {
        float peak = 0;
        for (std::size_t t = start; t < std::min(start + apart, grown.size()); ++t) peak = std::max(peak, sum_of(grown[t]));
        peaks.push_back(peak);
    }
    const double slowest_count = static_cast<double>(grown.size()) / per_second * slowest_heard / 60;
    const std::size_t nth = std::min(peaks.size() - 1, static_cast<std::size_t>(std::max(4.0, slowest_count)));
    std::nth_element(peaks.begin(), peaks.begin() + signed_of(nth), peaks.end(), std::greater<>());
    const float most = static_cast<float>(loud_once) * peaks[nth];
    for (Moment& moment : grown) {
        const float sum = sum_of(moment);
        for (float& x : moment) x *= sum > most ? most / sum : 1.0f;
    }
}

/// Less what is usual within two fifths of a second to either side: gusts come and go.
void level_out(std::vector<Moment>& grown, double per_second) {
    const auto reach = static_cast<std::size_t>(0.4 * per_second);
    const std::size_t n = grown.size();
    for (std::size_t p = 0; p < pitches; ++p) {
        std::vector<double> sums(n + 1, 0.0);
        for (std::size_t t = 0; t < n; ++t) sums[t + 1] = sums[t] + static_cast<double>(grown[t][p]);
        for (std::size_t t = 0; t < n; ++t) {
            const std::size_t from = t > reach ? t - reach : 0, to = std::min(n, t + reach + 1);
            grown[t][p] -= static_cast<float>((sums[to] - sums[from]) / static_cast<double>(to - from));
        }
    }
}

double alike_at(std::span<const Moment> onsets, std::size_t lag) {
    const std::size_t n = onsets.size() - lag;
    double sum = 0;
    for (std::size_t t = 0; t < n; ++t) {
        float product = 0;
        for (std::size_t p = 0; p < pitches; ++p) product += onsets[t][p] * onsets[t + lag][p];
        sum += static_cast<double>(product);
    }
    return sum / static_cast<double>(n);
}

/// Of chance likenesses: trace of the squared covariance of the pitches, to the squared trace. One where all pitches
/// move as one, 1 / pitches where each goes its own way.
double together(std::span<const Moment> onsets) {
    double square = 0, trace = 0;
    for (std::size_t p = 0; p < pitches; ++p) {
        for (std::size_t q = 0; q < pitches; ++q) {
            double sum = 0;
            for (const Moment& moment : onsets) sum += static_cast<double>(moment[p] * moment[q]);
            square += sum * sum;
            trace += p == q ? sum : 0.0;
        }
    }
    return trace > 0 ? square / (trace * trace) : 1;
}

std::vector<double> bell(double deviation) {
    const auto reach = static_cast<std::ptrdiff_t>(std::ceil(3 * deviation));
    std::vector<double> weights;
    double sum = 0;
    for (std::ptrdiff_t i = -reach; i <= reach; ++i) {
        weights.push_back(std::exp(-0.5 * static_cast<double>(i * i) / (deviation * deviation)));
        sum += weights.back();
    }
    for (double& weight : weights) weight /= sum;
    return weights;
}

/// The likenesses seen through a bell as wide as the beat may wander, and what chance gives there.
struct Likeness {
    std::vector<double> at;      // by lag, moments
    double chance = 0;           // one standard deviation at a short lag; grows as the overlap shrinks
    double moments = 0;
    [[nodiscard]] double of(double lag) const {
        const double floor_lag = std::floor(lag);
        const auto i = static_cast<std::size_t>(floor_lag);
        if (lag < 0 || i + 1 >= at.size()) return 0;
        const double share = lag - floor_lag;
        return at[i] * (1 - share) + at[i + 1] * share;
    }
    [[nodiscard]] double longest() const { return static_cast<double>(at.size()) - 2; }
};

Likeness smoothed(const std::vector<double>& alike, double deviation, double united, std::size_t moments) {
    const std::vector<double> weights = bell(deviation);
    const std::ptrdiff_t reach = signed_of(weights.size() / 2);
    const auto value = [&](std::ptrdiff_t lag) {
        const auto i = static_cast<std::size_t>(std::abs(lag));
        return i < alike.size() ? alike[i] : 0.0;
    };
    Likeness seen;
    seen.moments = static_cast<double>(moments);
    seen.at.resize(alike.size());
    for (std::size_t lag = 0; lag < alike.size(); ++lag) {
        for (std::ptrdiff_t j = -reach; j <= reach; ++j) seen.at[lag] += weights[static_cast<std::size_t>(j + reach)] * value(signed_of(lag) + j);
    }
    // Bartlett: the covariance of two chance likenesses `m` apart is the sum of products of likenesses m apart.
    constexpr std::ptrdiff_t near = 25; // as far as sound hangs together: echoes, a gust's rise
    const auto covariance = [&](std::ptrdiff_t m) {
        double sum = 0;
        for (std::ptrdiff_t j = -near; j <= near; ++j) sum += std::abs(j + m) <= near ? value(j) * value(j + m) : 0.0;
        return united * sum / static_cast<double>(moments);
    };
    double variance = 0;
    for (std::ptrdiff_t m = -2 * reach; m <= 2 * reach && m <= 2 * near; ++m) {
        double overlap = 0;
        for (std::ptrdiff_t j = -reach; j <= reach; ++j) {
            if (std::abs(j + m) <= reach) overlap += weights[static_cast<std::size_t>(j + reach)] * weights[static_cast<std::size_t>(j + m + reach)];
        }
        variance += overlap * covariance(m);
    }
    seen.chance = std::sqrt(std::max(variance, 1e-30));
    return seen;
}

/// Of a period's first multiples: their mean, the least of the first three, and how far the mean stands out.
struct Comb { double mean = 0, least = 0, stands_out = 0; };

Comb comb_of(const Likeness& seen, double period) {
    Comb comb;
    double variance = 0;
    std::size_t n = 0;
    for (std::size_t k = 1; k <= multiples && static_cast<double>(k) * period < seen.longest(); ++k) {
        const double lag = static_cast<double>(k) * period, here = seen.of(lag);
        comb.mean += here;
        comb.least = k == 1 ? here : k <= 3 ? std::min(comb.least, here) : comb.least;
        variance += seen.chance * seen.chance * seen.moments / (seen.moments - lag);
        ++n;
    }
    if (n < 3) return {};
    comb.mean /= static_cast<double>(n);
    comb.stands_out = comb.mean * static_cast<double>(n) / std::sqrt(variance);
    return comb;
}

/// Mean likeness at multiples of `step`: of those that are multiples of `m` steps, or of the others.
double mean_at(const Likeness& seen, double step, std::size_t m, bool of_m) {
    double sum = 0;
    std::size_t n = 0;
    for (std::size_t j = 1; j <= m * multiples && static_cast<double>(j) * step < seen.longest(); ++j) {
        if ((j % m == 0) != of_m) continue;
        sum += seen.of(static_cast<double>(j) * step);
        ++n;
    }
    return n > 0 ? sum / static_cast<double>(n) : 0;
}

/// By multiples ever further away, each looked for where the ones before say it is.
struct Fit { double period = 0, error = 0; };

Fit fit_period(const Likeness& seen, double period, double mean) {
    double kk = 0, kl = 0;
    std::vector<double> ks, lags, weights;
    int lost = 0;
    for (std::size_t k = 1; static_cast<double>(k) * period < seen.longest() && lost < 3; ++k) {
        const double about = static_cast<double>(k) * period, reach = std::max(2.0, 0.1 * period);
        std::size_t best = static_cast<std::size_t>(about);
        for (auto i = static_cast<std::size_t>(std::max(1.0, about - reach)); i < seen.at.size() - 1 && static_cast<double>(i) <= about + reach; ++i) {
            if (seen.at[i] > seen.at[best]) best = i;
        }
        if (seen.at[best] < 0.4 * mean) {
            ++lost;
            continue;
        }
        const double a = seen.at[best - 1], b = seen.at[best], c = seen.at[best + 1], bend = a - 2 * b + c;
        const double lag = static_cast<double>(best) + (bend < 0 ? std::clamp(0.5 * (a - c) / bend, -0.5, 0.5) : 0.0);
        const double weight = (seen.moments - lag) / seen.moments, number = static_cast<double>(k);
        ks.push_back(number), lags.push_back(lag), weights.push_back(weight);
        kk += weight * number * number, kl += weight * number * lag;
        period = kl / kk;
    }
    double squares = 0;
    for (std::size_t i = 0; i < ks.size(); ++i) squares += weights[i] * (lags[i] - ks[i] * period) * (lags[i] - ks[i] * period);
    // Neighbouring multiples share their errors: a few are worth one.
    const double worth = std::max(1.0, static_cast<double>(ks.size()) / 4);
    return {period, std::sqrt((squares + 0.1) / kk * std::max(1.0, static_cast<double>(ks.size()) / worth))};
}

/// The mean likeness at the first two multiples in a part of the take, where they are greatest nearby.
double likeness_in(std::span<const Moment> part, double period, double deviation) {
    const std::vector<double> weights = bell(deviation);
    const std::ptrdiff_t reach = signed_of(weights.size() / 2);
    double sum = 0;
    for (const double k : {1.0, 2.0}) {
        const auto about = static_cast<std::ptrdiff_t>(std::lround(k * period));
        const std::ptrdiff_t slack = std::max<std::ptrdiff_t>(2, static_cast<std::ptrdiff_t>(0.04 * period));
        double best = 0;
        std::vector<double> near;
        for (std::ptrdiff_t lag = about - slack - reach; lag <= about + slack + reach; ++lag) {
            near.push_back(lag >= 0 && lag + 1 < signed_of(part.size()) ? alike_at(part, static_cast<std::size_t>(lag)) : 0.0);
        }
        for (std::ptrdiff_t i = reach; i + reach < signed_of(near.size()); ++i) {
            double here = 0;
            for (std::ptrdiff_t j = -reach; j <= reach; ++j) here += weights[static_cast<std::size_t>(j + reach)] * near[static_cast<std::size_t>(i + j)];
            best = std::max(best, here);
        }
        sum += best / 2;
    }
    return sum;
}

/// The period that a beat repeats with, from one that stands out so far; nothing where two are as good, or where chance
/// could make them look different.
std::optional<double> beat_from(const Likeness& seen, double period, double stands_out) {
    const auto less = [&](std::size_t m) {   // what is less than this is no knock of the beat, chance allowed for
        const double others = static_cast<double>((m - 1) * multiples);
        const double chance = std::sqrt(static_cast<double>(multiples) / others) / stands_out;
        return clearly_less - chances_allowed * chance;
    };
    for (int turns = 0; turns < 4; ++turns) {
        bool changed = false;
        for (const std::size_t m : {2u, 3u}) {   // is a half, a third of it the beat?
            const double step = period / static_cast<double>(m);
            const double ratio = mean_at(seen, step, m, false) / mean_at(seen, step, m, true);
            if (ratio > clearly_alike) period = step, changed = true;
            else if (ratio > less(m)) return std::nullopt;
            if (changed) break;
        }
        if (changed) continue;
        for (const std::size_t m : {2u, 3u}) {   // or twice, three times?
            const double ratio = mean_at(seen, period, m, false) / mean_at(seen, period, m, true);
            if (ratio < less(m)) period *= static_cast<double>(m), changed = true;
            else if (ratio < alike_enough) return std::nullopt;
            if (changed) break;
        }
        if (!changed) return period;
    }
    return std::nullopt;
}

std::vector<Moment> onsets_in(std::span<const Moment> take, double per_second, float power) {
    std::vector<Moment> onsets = growth(take, per_second, power);
    calm(onsets, per_second);
    level_out(onsets, per_second);
    return onsets;
}

std::vector<double> alike_to(std::span<const Moment> onsets, std::size_t lags) {
    std::vector<double> alike;
    for (std::size_t lag = 0; lag <= lags; ++lag) alike.push_back(alike_at(onsets, lag));
    return alike;
}

/// Every other knock is clearly less loud, or sounds different: the beat may be twice as long.
bool limps(const Likeness& loud, double period) {
    const double ratio = mean_at(loud, period, 2, false) / mean_at(loud, period, 2, true);
    return ratio < alike_in_loudness - chances_allowed / std::max(1.0, comb_of(loud, period).stands_out);
}

} // namespace

HeardBeat beat_in(std::span<const Moment> take, double per_second) {
    HeardBeat heard;
    const double seconds_long = static_cast<double>(take.size()) / per_second;
    if (seconds_long < least_seconds_heard) return heard;
    float loudest = 0;
    for (const Moment& moment : take) loudest = std::max(loudest, sum_of(moment));
    heard.why = Unheard::silent;
    if (loudest < 1e-3f) return heard;

    const std::vector<Moment> onsets = onsets_in(take, per_second, 0.5f);
    const double longest_tried = std::min(1.15 * 60 / slowest_heard, seconds_long / fewest_beats);
    const auto lags = static_cast<std::size_t>(std::min(furthest * seconds_long, 4.5 * longest_tried) * per_second);
    const std::vector<double> alike = alike_to(onsets, lags);
    const double united = together(onsets);

    // The bell is a fiftieth of the period wide: that is how far a beat wanders.
    struct Scale { double up_to, deviation; };
    constexpr std::array<Scale, 4> scales{{{0.6, 1.5}, {1.0, 2.0}, {1.8, 3.5}, {9.0, 6.0}}};
    std::vector<Likeness> seen;
    for (const Scale& scale : scales) seen.push_back(smoothed(alike, scale.deviation, united, onsets.size()));
    const auto scale_of = [&](double period) {
        std::size_t i = 0;
        while (period / per_second > scales[i].up_to) ++i;
        return i;
    };

    double best = 0;
    Comb comb;
    for (double period = shortest_tried * per_second; period <= longest_tried * per_second; period *= 1.004) {
        const Comb here = comb_of(seen[scale_of(period)], period);
        if (here.stands_out > comb.stands_out) comb = here, best = period;
    }
    heard.stands_out = comb.stands_out;
    heard.why = Unheard::no_beat;
    if (comb.stands_out < stands_out_least || comb.least < each_multiple_least * comb.mean) return heard;

    const Likeness& scale = seen[scale_of(best)];
    const std::optional<double> beat = beat_from(scale, fit_period(scale, best, comb.mean).period, comb.stands_out);
    heard.why = Unheard::two_rates;
    if (!beat) return heard;
    const std::size_t own = scale_of(*beat);
    const Fit fit = fit_period(seen[own], *beat, comb_of(seen[own], *beat).mean);
    const double rate = per_second / fit.period;
    heard.why = Unheard::out_of_range;
    if (rate * 60 < slowest_heard - 0.5 || rate * 60 > fastest_heard + 0.5) return heard;

    const std::vector<Moment> loud = onsets_in(take, per_second, 1.0f);
    heard.why = Unheard::two_rates;
    if (limps(smoothed(alike_to(loud, lags), scales[own].deviation, together(loud), loud.size()), fit.period)) return heard;

    const std::size_t middle = onsets.size() / 2;
    const std::span<const Moment> all(onsets);
    const double whole = comb_of(seen[own], fit.period).mean;
    heard.why = Unheard::no_beat;
    for (const auto half : {all.first(middle), all.subspan(middle)}) {
        if (likeness_in(half, fit.period, scales[own].deviation) < half_least * whole) return heard;
    }
    heard.why = Unheard::none;
    heard.rate = {hertz(rate), std::max(hertz(rate * fit.error / fit.period), finest)};
    return heard;
}

} // namespace beckhand
