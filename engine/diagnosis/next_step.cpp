#include "engine/diagnosis/next_step.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/diagnosis/askable.h"
#include "engine/diagnosis/easier.h"
#include "engine/diagnosis/may_ask.h"
#include "engine/diagnosis/present.h"
#include "engine/diagnosis/second_look.h"
#include "engine/diagnosis/telling.h"

namespace beckhand {
namespace {

// Hypotheses that together hold less than this are left out of looking ahead.
constexpr double left_out = 1e-3;
// So many questions, and none dearer than this, are asked before a check of what holds little.
constexpr int before_a_guess = 6;
constexpr double cheap_question = 4;
// What holds less than this is not offered for a check.
constexpr double least_to_try = 0.01;
/// How likely each hypothesis shows each answer when this person looks: a policy's question, cut to the hypotheses
/// that are kept. Bands that figures settle have no slip but the measuring error's own.
std::vector<double> chances_of(const Model& model, std::size_t observation, Person person, const std::vector<std::size_t>& kept) {
    const double slip = model.slip_of(observation, person);
    const double tells = 1 - model.cannot_share();
    std::vector<double> chances(model.answers(observation) * kept.size());
    double* out = chances.data();
    bool cannot_given = false;
    for (std::size_t a = 0; a < model.answers(observation); ++a) {
        const auto shows = model.shows_all(observation, a);
        const double background = tells * slip * model.background(observation, a);
        const double shown = tells * (1 - slip);
        const bool cannot = model.is_cannot(observation, a);
        // Where several answers mean that nobody can tell, the first of them stands for all.
        const double fixed = cannot && !cannot_given ? model.cannot_share() : 0;
        cannot_given = cannot_given || cannot;
        for (const std::size_t h : kept) *out++ = cannot ? fixed : shown * shows[h] + background;
    }
    return chances;
}

/// How likely this answer is as things stand.
double chance_of_answer(const Model& model, const Belief& belief, std::size_t observation, std::size_t answer) {
    double chance = 0;
    for (std::size_t h = 0; h < model.hypotheses().size(); ++h) {
        chance += belief.hypothesis[h] * model.likelihood(observation, h, answer);
    }
    return chance;
}

/// What one more answer in this observation's group would count: the rule of fact_weights, at the margin.
double marginal_weight(const Model& model, const std::vector<Fact>& facts, std::size_t observation) {
    const bool repeat = std::any_of(facts.begin(), facts.end(), [&](const Fact& fact) {
        return !fact.answer.empty() && model.group(fact.observation) == model.group(observation);
    });
    return repeat ? model.group_repeat() : 1.0;
}

std::vector<std::size_t> separated(const Model& model, const Belief& belief, std::size_t observation) {
    std::vector<double> mean;
    for (std::size_t a = 0; a < model.answers(observation); ++a) {
        mean.push_back(chance_of_answer(model, belief, observation, a));
    }
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t c = 0; c + 1 < model.causes(); ++c) {
        double divergence = 0;
        for (std::size_t a = 0; a < mean.size(); ++a) {
            const double own = model.likelihood(observation, c, a);
            divergence += own > 0 && mean[a] > 0 ? own * std::log(own / mean[a]) : 0;
        }
        order.emplace_back(-belief.cause[c] * divergence, c);
    }
    std::sort(order.begin(), order.end());
    std::vector<std::size_t> causes;
    for (std::size_t i = 0; i < order.size() && i < 3; ++i) {
        causes.push_back(order[i].second);
    }
    return causes;
}

/// For whoever could not tell: what is easier to see and speaks of the same.
std::optional<Offer> easier(const Pack& pack, const Model& model, const Visit& visit, const Belief& belief,
                            const std::vector<Candidate>& asks) {
    const auto too_hard = could_not_tell(pack, visit);
    if (!too_hard) return std::nullopt;
    std::vector<std::size_t> askable;
    std::vector<double> minutes(pack.observations.size());
    for (const Candidate& candidate : asks) {
        askable.push_back(candidate.observation);
        minutes[candidate.observation] = candidate.minutes;
    }
    const auto look = easier_look(pack, model, belief, visit.person, *too_hard, askable);
    if (!look) return std::nullopt;
    Offer offer;
    offer.step = Ask{*look};
    offer.minutes = minutes[*look];
    offer.separates = separated(model, belief, *look);
    offer.easier_than = too_hard;
    return offer;
}

Offer bare(NextStep step) {
    Offer offer;
    offer.step = step;
    return offer;
}

/// Every turn at a cause that did not settle it earns a few more questions, and so does a doubt. After a
/// repair that helped, the second fault is a search of its own.
int more_earned(const Visit& visit) {
    int more = 4 * static_cast<int>(visit.aside.size());
    for (const Attempt& attempt : visit.attempts) {
        more += attempt.verdict == Verdict::better ? 8 : attempt.again ? 0 : 4;
    }
    return more;
}

std::optional<std::size_t> stop_rule(const Pack& pack, const Visit& visit) {
    for (std::size_t i = 0; i < pack.cautions.size(); ++i) {
        const Caution& caution = pack.cautions[i];
        const bool heeded = std::find(visit.heeded.begin(), visit.heeded.end(), caution.id) != visit.heeded.end();
        const bool fires = std::any_of(caution.fires_on.begin(), caution.fires_on.end(), [&](const Pointed& on) {
            const Answered* given = visit.answer_to(on.observation);
            return given != nullptr && given->answer == on.answer;
        });
        if (caution.stop && fires && !heeded) {
            return i;
        }
    }
    return std::nullopt;
}

} // namespace

std::optional<std::size_t> cause_to_try(const Pack& pack, const Visit& visit, const Belief& belief,
                                        const StepRules& rules) {
    for (const std::size_t c : belief.ranked) {
        if (c < pack.causes.size() && belief.of(c) >= least_to_try && !tried_in_vain(visit, pack.causes[c].id) &&
            !put_aside(visit, pack.causes[c].id, rules)) {
            return c;
        }
    }
    return std::nullopt;
}

double mass_of_fix(const Pack& pack, const Belief& belief, std::size_t cause) {
    double sum = 0;
    for (std::size_t c = 0; c < pack.causes.size(); ++c) {
        sum += pack.causes[c].fix.id == pack.causes[cause].fix.id ? belief.of(c) : 0;
    }
    return sum;
}

bool tried_in_vain(const Visit& visit, const std::string& cause) {
    return std::any_of(visit.attempts.begin(), visit.attempts.end(), [&](const Attempt& a) {
        const bool judged = a.verdict == Verdict::better || a.verdict == Verdict::not_it;
        return a.cause == cause && (a.check == CheckResult::no || judged);
    });
}

bool put_aside(const Visit& visit, const std::string& cause, const StepRules& rules) {
    const auto found = visit.aside.find(cause);
    if (found == visit.aside.end()) return false;
    return found->second.why == Aside::not_now || steps_asked(visit) < found->second.asked + rules.doubt_earns;
}

namespace {

/// The visit laid out for the policy: hypotheses that matter, questions that can be asked, causes that can be tried.
struct Layout {
    Situation situation;
    std::vector<double> belief;              // by kept hypothesis
    std::vector<Candidate> asks;             // by question
    std::vector<std::vector<double>> chances;
    std::vector<std::size_t> causes;         // by repair
};

/// Every single cause, for one of them is left when a pair is half mended, and the likeliest pairs, until the rest
/// holds next to nothing.
std::vector<std::size_t> worth_keeping(const Model& model, const Belief& belief) {
    std::vector<std::size_t> order;
    for (std::size_t h = 0; h < belief.hypothesis.size(); ++h) {
        if (belief.hypothesis[h] > 1e-7) order.push_back(h);
    }
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return belief.hypothesis[a] != belief.hypothesis[b] ? belief.hypothesis[a] > belief.hypothesis[b] : a < b;
    });
    double rest = 1;
    std::size_t kept = 0;
    while (kept < order.size() && rest > left_out) rest -= belief.hypothesis[order[kept++]];
    order.resize(kept);
    std::erase_if(order, [&](std::size_t h) { return h < model.causes(); });
    for (std::size_t h = 0; h < model.causes(); ++h) order.push_back(h);
    std::sort(order.begin(), order.end());
    return order;
}

Layout lay_out(const Pack& pack, const Model& model, const Visit& visit, const Grounds& grounds, const Belief& belief,
               const StepRules& rules, std::vector<Candidate> asks) {
    Layout layout;
    const std::vector<std::size_t> kept = worth_keeping(model, belief);
    double sum = 0;
    layout.situation.faults = model.causes();
    layout.situation.help_minutes = rules.help_minutes;
    for (const std::size_t h : kept) {
        layout.situation.hypotheses.push_back(model.hypotheses()[h]);
        layout.belief.push_back(belief.hypothesis[h]);
        sum += belief.hypothesis[h];
    }
    for (double& share : layout.belief) share /= sum;
    layout.asks = std::move(asks);
    for (const Candidate& ask : layout.asks) {
        layout.chances.push_back(chances_of(model, ask.observation, visit.person, kept));
    }
    for (std::size_t q = 0; q < layout.asks.size(); ++q) {
        const std::size_t o = layout.asks[q].observation;
        layout.situation.questions.push_back(
            {layout.asks[q].minutes, model.answers(o), layout.chances[q].data(), marginal_weight(model, grounds.facts, o)});
    }
    const Place here = place_now(pack, visit);
    for (std::size_t c = 0; c < pack.causes.size(); ++c) {
        const Cause& cause = pack.causes[c];
        if (belief.of(c) < least_to_try || tried_in_vain(visit, cause.id) || put_aside(visit, cause.id, rules)) continue;
        // Whoever is called has the long work to do as well: only what is shorter is held against calling them.
        const double check = std::min(cause.check.minutes, long_work) + overhead_minutes(cause.check.place, here);
        const double fix = std::min(cause.fix.minutes, long_work);
        // A check that blames wrongly costs the repair as well, in vain.
        const double in_vain = check_blames * (1 - belief.of(c)) * fix;
        Repair repair{check + in_vain, fix, std::vector<double>(model.causes(), 0.0)};
        repair.cures[c] = check_finds;
        layout.situation.repairs.push_back(std::move(repair));
        layout.causes.push_back(c);
    }
    return layout;
}

/// Who does not know the pump begins with a look that can be had at once, not with a bucket and a watch.
bool begins_with_a_look(const Visit& whole) {
    return whole.person != Person::keeper && steps_asked(whole) == 0 && whole.attempts.empty();
}

/// A finding was doubted: what is wanted are more questions, until they have earned it another look.
bool doubts_just_now(const Visit& visit, const StepRules& rules) {
    return std::any_of(visit.aside.begin(), visit.aside.end(), [&](const auto& each) {
        return each.second.why == Aside::doubted && steps_asked(visit) < each.second.asked + rules.doubt_earns;
    });
}

std::vector<std::size_t> repair_classes(const Pack& pack) {
    std::map<std::string, std::size_t> index;
    std::vector<std::size_t> classes;
    for (const Cause& cause : pack.causes) {
        classes.push_back(index.try_emplace(cause.fix.id, index.size()).first->second);
    }
    classes.push_back(index.size()); // something else
    return classes;
}

/// The look among these that tells most for its minutes; nothing where none tells anything.
std::optional<Offer> first_look(const Pack& pack, const Model& model, const Visit& visit, const Grounds& grounds,
                                const Belief& belief, const StepRules& rules, std::vector<Candidate> asks) {
    std::erase_if(asks, [&](const Candidate& ask) { return !takes_no_practice(pack.observations[ask.observation]); });
    const Layout layout = lay_out(pack, model, visit, grounds, belief, rules, std::move(asks));
    const auto telling = most_telling(layout.situation, layout.belief, repair_classes(pack));
    if (!telling) return std::nullopt;
    const Candidate& ask = layout.asks[*telling];
    return Offer{ask.step, ask.minutes, separated(model, belief, ask.observation), 0, 0, false};
}

} // namespace

Offer next_step(const Pack& pack, const Model& model, const Visit& whole, const StepRules& rules) {
    const Grounds grounds = grounds_of(pack, model, whole);
    return next_step(pack, model, whole, grounds, belief_of(model, grounds), rules);
}

Offer next_step(const Pack& pack, const Model& model, const Visit& whole, const Grounds& grounds, const Belief& belief,
                const StepRules& rules) {
    const Visit visit = present_of(pack, whole);
    if (const auto caution = stop_rule(pack, visit)) {
        return bare(StopFirst{*caution});
    }
    if (!visit.attempts.empty() && visit.attempts.back().verdict == Verdict::proved) {
        return bare(Finish{EndReason::proved});
    }
    const bool asking = steps_asked(whole) < rules.most_questions + more_earned(visit);
    std::vector<Candidate> asks;
    if (asking) asks = candidates(pack, visit, grounds.facts, steps_asked(whole));
    const auto look_first = [&](const std::vector<Candidate>& among) {
        return begins_with_a_look(whole) ? first_look(pack, model, visit, grounds, belief, rules, among) : std::nullopt;
    };
    if (const auto first = asking ? baseline(pack, visit, grounds.facts) : std::nullopt) {
        if (const auto look = look_first(asks)) return *look;
        return {*first, pack.measurements[first->measurement].minutes, separated(model, belief, first->observation), 0,
                0, false};
    }
    if (const auto look = easier(pack, model, visit, belief, asks)) return *look;
    const Layout layout = lay_out(pack, model, visit, grounds, belief, rules, std::move(asks));
    Choice choice;
    if (!rules.most_telling) choice = best_step(layout.situation, layout.belief, rules.policy);
    const bool weak = choice.move == Move::repair && steps_asked(whole) < before_a_guess &&
                      mass_of_fix(pack, belief, layout.causes[choice.index]) < rules.turn_from;
    if ((rules.only_ask || rules.most_telling || weak || doubts_just_now(whole, rules)) && choice.move != Move::ask) {
        const auto telling = most_telling(layout.situation, layout.belief, repair_classes(pack));
        const bool dear = weak && telling && layout.asks[*telling].minutes > cheap_question;
        if (telling && !dear) choice = Choice{Move::ask, *telling, 0, 0};
        if (!telling && rules.only_ask) return bare(Finish{EndReason::nothing_left});
    }
    if (choice.move == Move::ask) {
        const Candidate& ask = layout.asks[choice.index];
        if (!takes_no_practice(pack.observations[ask.observation])) {
            if (const auto look = look_first(layout.asks)) return *look;
        }
        return {ask.step, ask.minutes, separated(model, belief, ask.observation), choice.saves, 0, false};
    }
    const auto favourite = cause_to_try(pack, whole, belief, rules);
    const auto before_help = [&](EndReason why) {
        auto again = rules.second_looks ? second_look(pack, model, whole, grounds, belief, rules.help_minutes) : std::nullopt;
        if (!again) return bare(Finish{why});
        if (const auto* ask = std::get_if<Ask>(&again->step)) again->separates = separated(model, belief, ask->observation);
        return *again;
    };
    if (!favourite || belief.first() == model.something_else()) {
        return before_help(favourite ? EndReason::nothing_fits : EndReason::nothing_left);
    }
    // Help may be quicker than a long check; but what is as good as known is for the person to decide.
    if (choice.move == Move::help && mass_of_fix(pack, belief, *favourite) < rules.worth_saying) {
        return before_help(EndReason::help_is_nearer);
    }
    const std::size_t cause = choice.move == Move::help ? *favourite : layout.causes[choice.index];
    const double held = mass_of_fix(pack, belief, cause);
    return {TryFix{cause}, pack.causes[cause].check.minutes + pack.causes[cause].fix.minutes, {cause}, 0, held,
            held >= rules.sure_from};
}

} // namespace beckhand
