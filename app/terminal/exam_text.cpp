#include "app/terminal/exam_text.h"

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include "app/settings.h"
#include "engine/quantity/text.h"

namespace beckhand {
namespace {

using Json = nlohmann::ordered_json;

struct PolicyWords {
    const char *id, *say;
};

PolicyWords words_of(ExamPolicy policy) {
    switch (policy) {
    case ExamPolicy::ours: return {"ours", "our rule"};
    case ExamPolicy::no_second_look: return {"no_second_look", "ours, nothing twice"};
    case ExamPolicy::one_step: return {"one_step", "one step ahead only"};
    case ExamPolicy::telling_plan: return {"telling_then_cheapest", "most telling to 0.8, cheapest"};
    case ExamPolicy::telling_belief: return {"telling_then_belief", "most telling to 0.8, likeliest"};
    case ExamPolicy::telling_on: return {"telling_on_then_cheapest", "asking on to 0.8, cheapest"};
    case ExamPolicy::walk: return {"walk", "every check, intake to tank"};
    }
    return {"", ""};
}

std::string padded(const std::string& text, std::size_t width) {
    return text.size() >= width ? text : text + std::string(width - text.size(), ' ');
}

std::string column(double value, int places, std::size_t width = 8) {
    const std::string text = fixed_text(value, places);
    return text.size() >= width ? text : std::string(width - text.size(), ' ') + text;
}

std::string per_cent(double share, std::size_t width = 8) {
    return column(100 * share, 1, width);
}

std::string policies_text(const ExamReport& r) {
    std::string text = "Minutes to a proved repair, help (300) included\n" + padded("", 32) +
                       "    mean  +- se     p95  x known  dearer  +- se  asked     p95  asking  proved  in vain\n";
    const PolicyRow& ours = r.policies.front();
    for (const PolicyRow& row : r.policies) {
        text += "  " + padded(words_of(row.policy).say, 30) + column(row.minutes.mean, 1) + column(row.minutes.error, 1, 7) +
                column(row.minutes.p95, 0) + column(row.over_knowing, 2, 9) + column(row.dearer.mean, 1) +
                column(row.dearer.error, 1, 7) + column(row.asked.mean, 1, 7) + column(row.asked.p95, 0) +
                column(row.asking_minutes.mean, 1) + per_cent(row.proved) + column(row.in_vain, 2, 9) + "\n";
    }
    return text + "  " + padded("who knows what is wrong", 30) + column(r.knowing.mean, 1) + column(r.knowing.error, 1, 7) +
           "\n  dearer: than our rule, visit by visit; asking: minutes; proved: % put right without help\n"
           "  our rule's asking: " + fixed_text(ours.looking, 1) + " looking and measuring, " + fixed_text(ours.walking, 1) +
           " walking, " + fixed_text(ours.asking_minutes.mean - ours.looking - ours.walking, 1) +
           " reading and wiping hands\n";
}

std::string accuracy_text(const std::string& name, const Accuracy& a) {
    return "  " + padded(name, 44) + per_cent(a.right) + per_cent(a.in_three) + per_cent(a.mends) +
           per_cent(a.mends_in_three) + column(static_cast<double>(a.visits), 0) + "\n";
}

std::string accuracies_text(const ExamReport& r) {
    std::string text = "Right, % of visits" + std::string(28, ' ') + "   first in three  repair in three  visits\n";
    for (const QuestionsRow& row : r.questions) {
        const std::string after = "after " + std::to_string(row.asked) + " answers, ";
        text += accuracy_text(after + "our order", row.ours) + accuracy_text(after + "most telling first", row.telling);
    }
    text += accuracy_text("everything answered (the ceiling)", r.everything);
    text += accuracy_text("at the first finding", r.finding_accuracy);
    if (r.figures_pump.visits > 0) {
        text += accuracy_text("figures: their answers drawn instead", r.figures_table);
        text += accuracy_text("figures judged by the pack's bands", r.figures_bands);
        text += accuracy_text("figures judged by the virtual pump", r.figures_pump);
    }
    return text;
}

std::string calibration_line(const std::string& name, const Calibration& c) {
    return "  " + padded(name, 44) + column(c.ece, 3) + column(c.by_chance, 3) + column(c.brier, 3) + column(c.log_score, 3) + "\n";
}

/// Believed along the line, true down the page: a belief that is honest runs from corner to corner.
std::string reliability_plot(const Calibration& c) {
    constexpr int wide = 50, high = 10;
    std::vector<std::string> page(high + 1, std::string(wide + 1, ' '));
    const auto at = [](double share, int most) {
        return static_cast<std::size_t>(std::lround(std::clamp(share, 0.0, 1.0) * most));
    };
    for (int x = 0; x <= wide; ++x) page[high - at(static_cast<double>(x) / wide, high)][static_cast<std::size_t>(x)] = '.';
    for (const CalibrationBin& bin : c.bins) page[high - at(bin.so, high)][at(bin.chance, wide)] = 'o';
    std::string text = "  true %\n";
    for (int y = 0; y <= high; ++y) {
        text += column(100.0 * (high - y) / high, 0, 7) + " |" + page[static_cast<std::size_t>(y)] + "\n";
    }
    return text + "        +" + std::string(wide + 1, '-') + "\n         0" + padded("", 21) + "believed %" +
           padded("", 16) + "100\n";
}

std::string calibrations_text(const ExamReport& r) {
    std::string text = "Belief in the leader against the truth" + std::string(8, ' ') + "     ECE  chance   Brier     log\n";
    text += calibration_line("first finding", r.finding);
    for (const QuestionsRow& row : r.questions) {
        text += calibration_line("after " + std::to_string(row.asked) + " answers", row.honest);
    }
    text += calibration_line("three times the slips: first finding", r.finding_more_slips);
    for (const QuestionsRow& row : r.questions) {
        text += calibration_line("three times the slips: after " + std::to_string(row.asked), row.more_slips);
    }
    text += "  chance: the ECE of an honest belief at as many visits\n";
    if (!r.questions.empty()) {
        text += "After " + std::to_string(r.questions.back().asked) + " answers\n" + reliability_plot(r.questions.back().honest);
    }
    return text;
}

std::string healthy_words(const HealthyRow& row) {
    return std::to_string(row.visits) + " visits): called healthy " + fixed_text(100 * row.named, 1) + " %, no repair in vain " +
           fixed_text(100 * row.spared, 1) + " %, " + fixed_text(row.minutes.mean, 0) + " minutes";
}

std::string their_own_text(const ExamReport& r) {
    return "Two faults, one bringing the other (" + std::to_string(r.two_visits) + " visits): both named " +
           fixed_text(100 * r.both_named, 1) + " %, both mended " + fixed_text(100 * r.both_mended, 1) + " %, " +
           fixed_text(r.two_minutes.mean, 0) + " minutes;\n  with everything answered both come first in " +
           fixed_text(100 * r.two_ceiling, 1) + " %.\nNothing wrong (" + healthy_words(r.healthy) +
           ";\n  with everything answered healthy comes first in " + fixed_text(100 * r.healthy_ceiling, 1) + " %.\n" +
           (r.healthy_measured.visits == 0 ? ""
                                           : "The same at a site whose sheet is filled in, figures read off the virtual pump (" +
                                                 healthy_words(r.healthy_measured) + ".\n");
}

std::string targets_text(const ExamReport& r) {
    std::string text = "What should be reached\n";
    for (const Target& target : r.targets) {
        const std::string verdict = target.visits == 0 ? "-" : target.met ? "yes" : "NO";
        text += "  " + padded(verdict, 5) + column(target.found, 3) + "  " + padded(target.wanted, 9) + target.name + "\n";
    }
    return text;
}

Json json_of(const Spread& s) {
    return {{"mean", s.mean}, {"standard_error", s.error}, {"p95", s.p95}};
}

Json json_of(const HealthyRow& row) {
    return {{"visits", row.visits}, {"named", row.named}, {"no_repair_in_vain", row.spared}, {"minutes", json_of(row.minutes)}};
}

Json json_of(const Accuracy& a) {
    return {{"visits", a.visits}, {"right_first", a.right}, {"in_three", a.in_three},
            {"repair_first", a.mends}, {"repair_in_three", a.mends_in_three}};
}

Json json_of(const Calibration& c) {
    Json bins = Json::array();
    for (const CalibrationBin& bin : c.bins) bins.push_back({{"believed", bin.chance}, {"true", bin.so}, {"visits", bin.count}});
    return {{"ece", c.ece}, {"ece_by_chance", c.by_chance}, {"brier", c.brier}, {"log_score", c.log_score}, {"bins", bins}};
}

} // namespace

std::string exam_text(const Pack& pack, const ExamReport& r) {
    std::string text = "Pack " + pack.version + ", " + pack.hash.substr(0, 12) + ". " + std::to_string(r.visits) +
                       " visits drawn from the model, " + std::to_string(r.two) + " of them with two faults; seed " +
                       std::to_string(r.wish.seed) + "; a " + id_of(r.wish.person) + " answers, slips x" +
                       fixed_text(r.wish.slips, 1) + ".\nThis says how well steps are chosen, nothing of how well the pack "
                       "describes real pumps.\n\n";
    return text + policies_text(r) + "\n" + accuracies_text(r) + "\n" + calibrations_text(r) + "\n" + their_own_text(r) + "\n" +
           targets_text(r);
}

std::string exam_json(const Pack& pack, const ExamReport& r) {
    Json json;
    json["pack"] = {{"version", pack.version}, {"hash", pack.hash}};
    json["visits"] = r.visits;
    json["two_faults"] = r.two;
    json["seed"] = r.wish.seed;
    json["person"] = id_of(r.wish.person);
    json["slips"] = r.wish.slips;
    for (const PolicyRow& row : r.policies) {
        json["policies"][words_of(row.policy).id] = {
            {"minutes", json_of(row.minutes)},     {"asked", json_of(row.asked)},  {"asking_minutes", json_of(row.asking_minutes)},
            {"looking_minutes", row.looking},      {"walking_minutes", row.walking},
            {"dearer", json_of(row.dearer)},       {"over_knowing", row.over_knowing},
            {"proved", row.proved},                {"repairs_in_vain", row.in_vain}};
    }
    json["knowing_minutes"] = json_of(r.knowing);
    json["questions"] = Json::array();
    for (const QuestionsRow& row : r.questions) {
        json["questions"].push_back({{"asked", row.asked}, {"ours", json_of(row.ours)}, {"most_telling", json_of(row.telling)},
                                     {"calibration", json_of(row.honest)}, {"calibration_more_slips", json_of(row.more_slips)}});
    }
    json["everything"] = json_of(r.everything);
    json["first_finding"] = {{"accuracy", json_of(r.finding_accuracy)}, {"calibration", json_of(r.finding)},
                             {"calibration_more_slips", json_of(r.finding_more_slips)}};
    if (r.figures_pump.visits > 0) {
        json["figures"] = {{"drawn_answers", json_of(r.figures_table)}, {"bands", json_of(r.figures_bands)},
                           {"virtual_pump", json_of(r.figures_pump)}};
    }
    json["two_faults_chained"] = {{"visits", r.two_visits}, {"both_named", r.both_named}, {"both_mended", r.both_mended},
                                  {"both_first_with_everything", r.two_ceiling},
                                  {"minutes", json_of(r.two_minutes)}};
    json["healthy"] = json_of(r.healthy);
    json["healthy"]["first_with_everything"] = r.healthy_ceiling;
    if (r.healthy_measured.visits > 0) json["healthy_measured"] = json_of(r.healthy_measured);
    json["targets"] = Json::array();
    for (const Target& target : r.targets) {
        json["targets"].push_back({{"name", target.name}, {"wanted", target.wanted}, {"found", target.found},
                                   {"met", target.met}, {"visits", target.visits}});
    }
    return json.dump(2) + "\n";
}

} // namespace beckhand
