// What a way of measuring comes to, with its error and what to mind, in words.
#include <algorithm>
#include <cmath>

#include "app/figures.h"
#include "app/measuring/measuring.h"
#include "engine/hydraulics/water.h"
#include "engine/measuring/bucket.h"
#include "engine/measuring/heights.h"
#include "engine/measuring/source_flow.h"

namespace beckhand {
namespace {

constexpr int beats_to_use = 8;

std::optional<double> typed(const MeasuringOnScreen& now, const std::string& key) {
    const auto found = now.typed.find(key);
    return found == now.typed.end() ? std::nullopt : std::optional(found->second);
}

/// name_1, name_2 ... as far as they are typed; gaps are skipped.
std::vector<double> all_typed(const MeasuringOnScreen& now, const std::string& name) {
    std::vector<double> values;
    for (int n = 1; n <= 12; ++n) {
        if (const auto one = typed(now, name + std::to_string(n))) values.push_back(*one);
    }
    return values;
}

template <class Q>
std::vector<Q> as(const std::vector<double>& values) {
    std::vector<Q> made;
    for (const double value : values) made.push_back(Q::from_si(value));
    return made;
}

template <class Q>
void take(MeasuredFigure& made, const WithError<Q>& from) {
    if (from.value > Q{}) made.value_si = from.value.si(), made.error_si = from.error.si();
}

MeasuredFigure by_ear(const MeasuringOnScreen& now) {
    MeasuredFigure made;
    const HeardBeat& heard = now.hearing.heard;
    if (!now.hearing.trouble.empty()) made.mind.push_back(now.hearing.trouble);
    if (heard.why == Unheard::none) {
        take(made, heard.rate);
        const bool slow = heard.rate.value < beats_per_minute(slow_below);
        made.ready = now.hearing.seconds >= (slow ? most_seconds_heard : seconds_to_hear);
        made.good.push_back(made.ready ? "Heard clearly. Does it fit what you see?" : "Heard so far. Go on a little.");
        return made;
    }
    if (now.hearing.seconds < seconds_to_hear) return made;
    if (now.hearing.seconds < most_seconds_heard && heard.why != Unheard::silent) {
        made.mind.push_back("Not told yet. Go nearer, out of wind and spray. A slow beat takes a minute.");
        return made;
    }
    switch (heard.why) {
        case Unheard::none:
        case Unheard::too_short: break;
        case Unheard::silent: made.mind.push_back("Nothing at all comes from the microphone. Is it covered or switched off?"); break;
        case Unheard::no_beat: made.mind.push_back("The beat cannot be told from the other sounds. Go nearer, shield it from wind and water, or tap it."); break;
        case Unheard::two_rates: made.mind.push_back("It knocks, but whether each knock is a beat or every other cannot be told. Tap it instead."); break;
        case Unheard::out_of_range: made.mind.push_back("What is heard is no beat between 20 and 180 a minute. Tap it instead."); break;
    }
    return made;
}

MeasuredFigure bucket(const MeasuringOnScreen& now, Units units) {
    MeasuredFigure made;
    const std::vector<Duration> fills = as<Duration>(fills_of(now));
    const BucketFlow flow = flow_of_fills(Volume::from_si(typed(now, "volume").value_or(0)), fills);
    take(made, flow.flow);
    if (!made.value_si) return made;
    const std::size_t left = fills.size() < fills_wanted ? fills_wanted - fills.size() : 0;
    if (left > 0) made.mind.push_back(left == 1 ? "Once more." : "Twice more.");
    if (flow.disagree) {
        made.mind.push_back("Fill " + std::to_string(flow.furthest + 1) + " does not agree with the others: " +
                            format_duration(fills[flow.furthest], units) + ". Was all the water in the bucket? Do one more.");
    }
    if (flow.short_fill) made.mind.push_back("Under 10 seconds the watch counts more than the water. Take a larger bucket.");
    made.ready = left == 0 && !flow.disagree && !flow.short_fill;
    if (made.ready) made.good.push_back("The fills agree.");
    return made;
}

MeasuredFigure notch(const MeasuringOnScreen& now) {
    MeasuredFigure made;
    const NotchFlow flow = flow_over_notch(static_cast<Notch>(now.option), Length::from_si(typed(now, "head").value_or(0)));
    take(made, flow.flow);
    if (made.value_si && flow.shallow) made.mind.push_back("Little water for this notch: rough. A narrower notch tells more.");
    made.ready = made.value_si && !flow.shallow;
    return made;
}

MeasuredFigure floated(const MeasuringOnScreen& now) {
    MeasuredFigure made;
    const double coefficient = now.option == 0 ? float_over_stones : float_over_mud;
    const FloatFlow flow = flow_by_float(Length::from_si(typed(now, "distance").value_or(0)), as<Duration>(all_typed(now, "time_")),
                                         Length::from_si(typed(now, "width").value_or(0)), as<Length>(all_typed(now, "depth_")), coefficient);
    take(made, flow.flow);
    if (!made.value_si) return made;
    made.mind.push_back("A float is rough. It tells a strong source from a weak one.");
    if (flow.disagree) made.mind.push_back("The floats do not agree. Leave out one that got stuck.");
    if (flow.shallow) made.mind.push_back("Very shallow: stones steer the water here. A notch or a bucket tells more.");
    made.ready = !flow.disagree && !flow.shallow && all_typed(now, "depth_").size() >= 3;
    return made;
}

MeasuredFigure height(const MeasuringOnScreen& now) {
    MeasuredFigure made;
    if (now.way == Way::hose) {
        take(made, height_by_hose(as<Length>(all_typed(now, "drop_"))));
    } else if (now.way == Way::staff) {
        std::vector<SetUp> set_ups;
        for (int n = 1; n <= 12; ++n) {
            const auto upper = typed(now, "upper_" + std::to_string(n)), lower = typed(now, "lower_" + std::to_string(n));
            if (upper && lower) set_ups.push_back({Length::from_si(*upper), Length::from_si(*lower)});
        }
        const WithError<Length> found = height_by_staff(set_ups);
        take(made, found);
        if (found.value < Length{}) made.mind.push_back("It comes out the wrong way round: the staff reads more at the lower point.");
    } else if (const auto reading = typed(now, "reading"), range = typed(now, "range"); reading && range) {
        take(made, height_by_gauge(Pressure::from_si(*reading), Pressure::from_si(typed(now, "zero").value_or(0)), usual_water, Pressure::from_si(*range)));
        if (made.value_si) made.mind.push_back("Only true where the water stands still, and the pipe is full.");
        if (*reading < 0.2 * *range) made.mind.push_back("Low on the dial: a gauge with a smaller range tells more.");
    }
    made.ready = made.value_si.has_value();
    return made;
}

} // namespace

std::vector<double> fills_of(const MeasuringOnScreen& now) {
    std::vector<double> fills;
    for (std::size_t i = 1; i < now.struck.size(); i += 2) fills.push_back(now.struck[i] - now.struck[i - 1]);
    return fills;
}

MeasuredFigure figure_of(const TappedBeat& beat) {
    MeasuredFigure made;
    take(made, beat.rate);
    if (beat.unsteady && beat.beats >= beats_to_use) made.mind.push_back("These taps are no steady beat. Start over.");
    else if (beat.sure) made.good.push_back("Sure enough: within 1 beat a minute.");
    if (beat.missed > 0) made.mind.push_back(std::to_string(beat.missed) + " missed, filled in.");
    if (beat.doubled > 0) made.mind.push_back(std::to_string(beat.doubled) + (beat.doubled == 1 ? " tap" : " taps") + " too many, left out.");
    made.ready = beat.sure;
    if (beat.unsteady) made.value_si.reset();
    return made;
}

MeasuredFigure figure_of(const MeasuringOnScreen& now, Units units) {
    if (!now.way) return {};
    switch (*now.way) {
        case Way::tapped: return figure_of(beat_of_taps(now.struck));
        case Way::by_ear: return by_ear(now);
        case Way::bucket: return bucket(now, units);
        case Way::notch: return notch(now);
        case Way::floated: return floated(now);
        case Way::hose:
        case Way::staff:
        case Way::gauge: return height(now);
    }
    return {};
}

std::string plausible_words(Figure kind, double value_si, double error_si, double least_si, double most_si, Units units) {
    if (!(most_si >= least_si) || most_si <= 0) return "";
    const std::string range = band_text(kind, least_si, most_si, units);
    if (value_si + 2 * error_si >= least_si && value_si - 2 * error_si <= most_si) return "As expected here: " + range + ".";
    const bool low = value_si < least_si;
    const double times = low ? least_si / std::max(value_si, 1e-12) : value_si / most_si;
    const std::string far = times > 2 ? "Far " : "";
    return far + (far.empty() ? (low ? "Below" : "Above") : (low ? "below" : "above")) + " what is expected here, " + range +
           (times > 2 ? ". Check it once more; it may be right all the same." : ". That may be the fault itself.");
}

} // namespace beckhand
