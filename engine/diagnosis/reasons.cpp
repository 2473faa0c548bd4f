#include "engine/diagnosis/reasons.h"

#include <algorithm>
#include <cmath>

#include "engine/diagnosis/prior.h"

namespace beckhand {
namespace {

double log_odds(double chance) {
    const double kept = std::clamp(chance, 1e-15, 1 - 1e-15);
    return std::log(kept / (1 - kept));
}

std::string strength_of(double decibans) {
    const double size = std::abs(decibans);
    const bool against = decibans < 0;
    if (size >= 15) return against ? "nearly rules it out" : "nearly settles it";
    if (size >= 10) return against ? "speaks strongly against it" : "speaks strongly for it";
    if (size >= 5) return against ? "speaks against it" : "speaks for it";
    return against ? "hints against it" : "hints at it";
}

std::string commonness(double per_1000) {
    if (per_1000 >= 22) return "This is common.";
    if (per_1000 >= 7) return "This happens now and then.";
    return "This is rare.";
}

std::string lower_first(std::string text) {
    if (!text.empty() && text.size() > 1 && text[1] >= 'a' && text[1] <= 'z' && text[0] >= 'A' && text[0] <= 'Z') {
        text[0] = static_cast<char>(text[0] - 'A' + 'a');
    }
    return text;
}

std::optional<std::size_t> splitter(const Pack& pack, const Model& model, const Visit& visit, std::size_t a,
                                    std::size_t b) {
    for (const Pair& pair : pack.look_alikes) {
        const bool same = (pair.first == pack.causes[a].id && pair.second == pack.causes[b].id) ||
                          (pair.first == pack.causes[b].id && pair.second == pack.causes[a].id);
        const Observation* named = same ? find_observation(pack, pair.splits_on) : nullptr;
        if (named != nullptr && visit.answer_to(named->id) == nullptr) {
            return index_of(pack.observations, named);
        }
    }
    std::optional<std::size_t> best;
    double most = 0.3; // below this an answer hardly tells them apart
    for (std::size_t o = 0; o < pack.observations.size(); ++o) {
        const double apart = apart_on(model, o, a, b);
        if (visit.answer_to(pack.observations[o].id) == nullptr && apart > most) {
            most = apart;
            best = o;
        }
    }
    return best;
}

/// The runner-up, and before it what is likelier and was put aside. What was tried in vain is no runner-up.
void set_others(const Pack& pack, const Model& model, const Visit& visit, const Belief& belief, std::size_t cause,
                Reasons& reasons) {
    std::string& words = reasons.second;
    for (const std::size_t other : belief.ranked) {
        if (other == cause || other >= pack.causes.size() || tried_in_vain(visit, pack.causes[other].id)) {
            continue;
        }
        if (belief.of(other) < 0.02) break;
        const std::string name = lower_first(pack.causes[other].name);
        const bool likelier = belief.of(other) > belief.of(cause);
        if (visit.aside.count(pack.causes[other].id) > 0) {
            words += likelier ? "Likelier, but put aside: " + name + ". " : "";
            continue;
        }
        words += (likelier ? "Likelier, " : "Next likeliest, ") + sureness(belief.of(other)) + ": " + name + ".";
        if (const auto o = splitter(pack, model, visit, cause, other)) {
            words += " To tell them apart: " + pack.observations[*o].ask;
        }
        reasons.likelier_left = likelier;
        return;
    }
    if (!words.empty()) words.pop_back();
}

/// The figures that the virtual pump judges together, in one line.
std::string figures_words(const std::vector<Fact>& facts, const std::vector<std::size_t>& figures) {
    std::string words = "The figures together";
    for (const std::size_t f : figures) words += (f == figures.front() ? ": " : "; ") + facts[f].words;
    return words;
}

} // namespace

std::string sureness(double chance) {
    if (chance >= 0.97) return "almost certain";
    const int tenths = static_cast<int>(std::lround(chance * 10));
    if (tenths < 1) return "less than 1 time in 10";
    return "about " + std::to_string(std::min(tenths, 9)) + (tenths == 1 ? " time in 10" : " times in 10");
}

Reasons reasons_for(const Pack& pack, const Model& model, const Visit& visit, const Grounds& grounds,
                    const Belief& belief, const std::vector<Belief>& without, std::size_t cause) {
    const std::vector<Fact>& facts = grounds.facts;
    std::vector<Reason> all;
    const auto weigh = [&](std::size_t f, std::string words) {
        const double decibans = 10 / std::log(10.0) * (log_odds(belief.of(cause)) - log_odds(without[f].of(cause)));
        if (std::abs(decibans) >= 2) {
            all.push_back({std::move(words), decibans, strength_of(decibans)});
        }
    };
    for (std::size_t f = 0; f < facts.size(); ++f) {
        const bool pumps = std::find(grounds.by_pump.begin(), grounds.by_pump.end(), f) != grounds.by_pump.end();
        if (!facts[f].answer.empty() && !pumps) weigh(f, facts[f].words);
    }
    if (!grounds.by_pump.empty()) weigh(facts.size(), figures_words(facts, grounds.by_pump));
    std::stable_sort(all.begin(), all.end(), [](const Reason& a, const Reason& b) {
        return std::abs(a.decibans) > std::abs(b.decibans);
    });
    Reasons reasons;
    for (const Reason& reason : all) {
        std::vector<Reason>& side = reason.decibans > 0 ? reasons.for_it : reasons.against_it;
        if (side.size() < (reason.decibans > 0 ? 3U : 2U)) {
            side.push_back(reason);
        }
    }
    reasons.how_sure = sureness(belief.of(cause));
    if (cause < pack.causes.size()) {
        reasons.how_common = commonness(pack.causes[cause].per_1000);
        for (const std::string& words : prior_words(pack, visit, cause)) reasons.how_common += " " + words;
    }
    if (cause < pack.causes.size()) set_others(pack, model, visit, belief, cause, reasons);
    return reasons;
}

std::string standing_of(const Pack& pack, const Visit& visit, const Offer& offer, std::size_t cause,
                        const Reasons& reasons) {
    constexpr double quick_check = 10; // minutes
    if (visit.unproved(pack.causes[cause].id) != nullptr) return "Repaired, but not proved yet";
    if (offer.again) return "Checked once and not found, but the answers still point to it, " + reasons.how_sure + ". Check it once more before help is called";
    const auto aside = visit.aside.find(pack.causes[cause].id);
    if (aside != visit.aside.end() && aside->second.why == Aside::doubted) return "You doubted this. What was answered since has not ruled it out, " + reasons.how_sure;
    if (offer.sure) return "Most likely, " + reasons.how_sure;
    const bool quick = pack.causes[cause].check.minutes <= quick_check;
    return "Not sure, " + reasons.how_sure + ". " +
           (!quick ? "Nothing likelier is left to try"
                   : !reasons.likelier_left ? "The likeliest, and its check is quick" : "Not the likeliest, but the quickest to rule out");
}

std::string why_asked(const Pack& pack, const Model&, const Visit&, const Offer& offer) {
    std::size_t observation = pack.observations.size();
    if (const auto* ask = std::get_if<Ask>(&offer.step)) {
        observation = ask->observation;
    } else if (const auto* measure = std::get_if<Measure>(&offer.step)) {
        observation = measure->observation;
    }
    if (observation >= pack.observations.size()) {
        return {};
    }
    std::string words = pack.observations[observation].why;
    if (offer.easier_than) words = easier_words + words;
    if (!offer.separates.empty()) {
        words += words.empty() ? "It helps to tell apart: " : " It helps to tell apart: ";
        for (std::size_t i = 0; i < offer.separates.size(); ++i) {
            words += (i == 0 ? "" : "; ") + lower_first(pack.causes[offer.separates[i]].name);
        }
        words += ".";
    }
    return words;
}

} // namespace beckhand
