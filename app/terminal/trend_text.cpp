#include "app/terminal/trend_text.h"

#include <algorithm>
#include <array>

#include <nlohmann/json.hpp>

namespace beckhand {
namespace {

using Json = nlohmann::ordered_json;

std::string padded(std::string text, std::size_t width) {
    if (text.size() < width) text.append(width - text.size(), ' ');
    return text + "  ";
}

constexpr std::size_t wide = 13;

Json figure_json(const std::optional<TrendFigure>& figure) {
    return figure ? Json{{"value", figure->value}, {"sigma", figure->sigma}} : Json(nullptr);
}

const char* word_of(TrendState state) {
    switch (state) {
        case TrendState::too_few: return "too_few";
        case TrendState::steady: return "steady";
        case TrendState::going_down: return "going_down";
    }
    return "";
}

const char* word_of(TrendBasis basis) {
    switch (basis) {
        case TrendBasis::none: return "none";
        case TrendBasis::healthy_record: return "healthy_record";
        case TrendBasis::virtual_pump: return "virtual_pump";
        case TrendBasis::first_figures: return "first_figures";
    }
    return "";
}

const char* word_of(DueBy by) {
    switch (by) {
        case DueBy::months: return "months";
        case DueBy::season: return "season";
        case DueBy::history: return "history";
    }
    return "";
}

} // namespace

std::string due_text(const Pack& pack, const Site& site, const SiteTrend& held, Instant now, const MinutesAhead& ahead) {
    std::string text = "What is due\n";
    if (held.due.empty()) text += "  Nothing can be said before the first visit.\n";
    for (const Due& due : held.due) {
        text += "  " + due.name + ": " + due_when(due, now, ahead) + "\n      " + due_why(due, ahead) + "\n      " + due.say + "\n";
        std::string cautions;
        for (const std::string& id : due.cautions) {
            const Caution* const caution = find_caution(pack, id);
            cautions += (cautions.empty() ? "" : "; ") + (caution ? caution->title : id);
        }
        if (!cautions.empty()) text += "      Mind: " + cautions + "\n";
    }
    std::string carry;
    for (const std::string& thing : carry_list(pack, held, now)) carry += (carry.empty() ? "" : ", ") + thing;
    if (!carry.empty()) text += "\nTake on the next visit\n  " + carry + "\n";
    if (const std::string often = parts_often_words(held.parts); !often.empty()) text += "  " + often + "\n";
    return text + "\n" + std::string(seasons_words(site)) + " Local rules and licensed trades decide on water rights, drinking "
                  "water and pressure vessels.\n";
}

std::string trend_text(const Pack& pack, const Site& site, const SiteTrend& held, Instant now, Units units,
                       const MinutesAhead& ahead) {
    const Trend& trend = held.trend;
    std::string text = site.name + "\n\n" + padded("Day", wide);
    for (const Shown which : all_shown) text += padded(std::string(name_of(which)), 14);
    text += padded("Expected", wide) + "\n";
    for (std::size_t i = 0; i < trend.points.size(); ++i) {
        const TrendPoint& point = trend.points[i];
        text += padded(day_text(point.at, ahead), wide);
        for (const Shown which : all_shown) {
            const auto figure = figure_of(point, which);
            text += padded(figure ? figure_text(which, figure->value, units) : "-", 14);
        }
        text += padded(trend.marks[i] ? figure_text(Shown::delivered, trend.marks[i]->expected, units) : "-", wide);
        text += point.as_left ? "proved repair" : "";
        text += trend.marks[i] && trend.marks[i]->called_out ? "CALLED OUT" : "";
        while (text.back() == ' ') text.pop_back();
        text += "\n";
    }
    text += "\n" + trend_heading(trend) + "\n";
    for (const std::string& words : trend_words(trend, units, ahead)) text += "  " + words + "\n";
    if (const std::string reasons = reason_words(pack, trend); !reasons.empty()) text += "  " + reasons + "\n";
    for (const std::string& words : trend_method(trend, units)) text += "  " + words + "\n";
    return text + "\n" + due_text(pack, site, held, now, ahead);
}

std::string trend_json(const Pack& pack, const Site& site, const SiteTrend& held, Instant now) {
    const Trend& trend = held.trend;
    Json json;
    json["site"] = site.name;
    json["state"] = word_of(trend.state);
    json["basis"] = word_of(trend.basis);
    json["reference"] = figure_json(trend.reference);
    json["more_needed"] = trend.more_needed;
    json["since_ms"] = trend.since ? Json(trend.points[*trend.since].at.ms) : Json(nullptr);
    json["loss"] = trend.latest() != nullptr ? Json(trend.latest()->loss) : Json(nullptr);
    json["season_share"] = trend.season_share ? Json(*trend.season_share) : Json(nullptr);
    json["reasons"] = Json::array();
    for (const TrendReason& reason : trend.reasons) json["reasons"].push_back({{"cause", reason.cause}, {"sureness", reason.sureness}});
    json["points"] = Json::array();
    for (std::size_t i = 0; i < trend.points.size(); ++i) {
        const TrendPoint& p = trend.points[i];
        Json point{{"at_ms", p.at.ms},
                   {"visit", p.visit_id},
                   {"as_left", p.as_left},
                   {"delivered", figure_json(p.delivered)},
                   {"waste", figure_json(p.waste)},
                   {"beat", figure_json(p.beat)},
                   {"fall", figure_json(p.fall)},
                   {"source", figure_json(p.source)},
                   {"efficiency", figure_json(p.efficiency)}};
        if (trend.marks[i]) {
            point["expected"] = trend.marks[i]->expected;
            point["sum"] = trend.marks[i]->sum;
            point["called_out"] = trend.marks[i]->called_out;
        }
        json["points"].push_back(std::move(point));
    }
    json["due"] = Json::array();
    for (const Due& due : held.due) {
        json["due"].push_back({{"id", due.id},
                               {"by", word_of(due.by)},
                               {"at_ms", due.at.ms},
                               {"last_ms", due.last ? Json(due.last->ms) : Json(nullptr)},
                               {"overdue", due.at < now},
                               {"carry", due.carry},
                               {"cautions", due.cautions}});
    }
    json["hemisphere"] = std::string(id_of(is_southern(site) ? Hemisphere::south : Hemisphere::north));
    json["parts_used_often"] = Json::array();
    for (const PartUsedOften& often : held.parts) {
        json["parts_used_often"].push_back({{"part", often.part}, {"count", often.count}, {"visits", often.times.size()}});
    }
    json["carry"] = carry_list(pack, held, now);
    return json.dump(2) + "\n";
}

} // namespace beckhand
