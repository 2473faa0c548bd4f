#include "engine/bundle/export.h"

#include <cstdio>

#include <nlohmann/json.hpp>

#include "engine/records/event_json.h"
#include "engine/records/site_fields.h"

namespace beckhand::bundle {
namespace {

using Json = nlohmann::ordered_json;

std::string cell(const std::string& text) {
    const bool formula = !text.empty() && std::string_view("=+-@\t\r").find(text[0]) != std::string_view::npos;
    std::string quoted = formula ? "\"'" : "\"";
    for (const char c : text) {
        quoted += c == '"' ? "\"\"" : std::string(1, c);
    }
    return quoted + "\"";
}

std::string line(const std::vector<std::string>& cells) {
    std::string text;
    for (const std::string& one : cells) {
        text += (text.empty() ? "" : ",") + one;
    }
    return text + "\r\n";
}

std::string number(double value) {
    return Json(value).dump(); // shortest that comes back the same, always with a point
}

std::string sites_csv(const std::vector<SiteView>& sites) {
    std::vector<std::string> head{"site_id"};
    for (const SiteText& text : site_texts()) {
        head.emplace_back(text.key);
    }
    for (const SiteField& field : site_fields()) {
        head.push_back((field.in_record ? "record_" : "") + std::string(field.key));
    }
    std::string csv = line(head);
    for (const SiteView& site : sites) {
        std::vector<std::string> cells{cell(site.id)};
        for (const SiteText& text : site_texts()) {
            cells.push_back(cell(text.text(site.site)));
        }
        for (const SiteField& field : site_fields()) {
            const std::optional<double> held = field_number(field, site.site);
            cells.push_back(held ? number(*held) : "");
        }
        csv += line(cells);
    }
    return csv;
}

std::string differences_csv(const std::vector<SiteView>& sites) {
    std::string csv = line({"site_id", "field", "value", "counted_with"});
    for (const SiteView& site : sites) {
        for (const FieldValues& field : site.fields) {
            for (const FieldValue& value : field.live) {
                if (field.live.size() > 1)
                    csv += line({cell(site.id), cell(field.field), cell(value.json),
                                 value.json == field.counted ? "yes" : "no"});
            }
        }
    }
    return csv;
}

std::string closing_text(const std::optional<Closing>& closed) {
    return closed ? Json::parse(to_json(Happening(Closed{*closed})))["how"].get<std::string>() : "open";
}

std::string visits_csv(const std::vector<VisitView>& visits) {
    std::string csv = line({"visit_id", "branch", "site_id", "opened", "last", "events", "closing"});
    for (const VisitView& visit : visits) {
        for (std::size_t branch = 0; branch < visit.branches.size(); ++branch) {
            const auto& entries = visit.branches[branch];
            csv += line({cell(visit.id), std::to_string(branch + 1), cell(visit.site_id),
                         utc_text(entries.front()->at), utc_text(entries.back()->at),
                         std::to_string(entries.size()), closing_text(fold(events_of(entries)).closed)});
        }
    }
    return csv;
}

std::string events_csv(const std::vector<VisitView>& visits) {
    std::string csv = line({"visit_id", "branch", "number", "at", "by", "kind", "what"});
    for (const VisitView& visit : visits) {
        for (std::size_t branch = 0; branch < visit.branches.size(); ++branch) {
            for (const LogEntry* const entry : visit.branches[branch]) {
                Json what = Json::parse(entry->json, nullptr, false);
                std::string kind = "erased";
                if (what.is_object() && what.contains("kind") && what["kind"].is_string()) {
                    kind = what["kind"].get<std::string>();
                    what.erase("kind");
                }
                csv += line({cell(visit.id), std::to_string(branch + 1), std::to_string(entry->place),
                             utc_text(entry->at), cell(entry->by_erased ? "(erased)" : entry->by), cell(kind),
                             cell(what.is_object() ? what.dump() : "")});
            }
        }
    }
    return csv;
}

std::string parts_csv(const std::vector<VisitView>& visits) {
    std::string csv = line({"visit_id", "branch", "site_id", "opened", "part", "count"});
    for (const VisitView& visit : visits) {
        for (std::size_t branch = 0; branch < visit.branches.size(); ++branch) {
            const Visit folded = fold(events_of(visit.branches[branch]));
            for (const auto& [part, count] : folded.parts_used) {
                csv += line({cell(visit.id), std::to_string(branch + 1), cell(visit.site_id),
                             utc_text(folded.opened_at), cell(part), std::to_string(count)});
            }
        }
    }
    return csv;
}

Json everything(const std::vector<SiteView>& sites, const std::vector<VisitView>& visits) {
    Json all = Json::object();
    all["sites"] = Json::array();
    for (const SiteView& site : sites) {
        Json one{{"id", site.id}, {"site", Json::parse(to_json(site.site))}, {"differences", Json::array()}};
        for (const FieldValues& field : site.fields) {
            for (const FieldValue& value : field.live) {
                if (field.live.size() > 1)
                    one["differences"].push_back(Json::parse(value.json, nullptr, false));
            }
        }
        all["sites"].push_back(std::move(one));
    }
    all["visits"] = Json::array();
    for (const VisitView& visit : visits) {
        Json one{{"id", visit.id}, {"site_id", visit.site_id}, {"branches", Json::array()}};
        for (const auto& branch : visit.branches) {
            Json events = Json::array();
            for (const LogEntry* const entry : branch) {
                Json what = entry->json_erased ? Json("erased") : Json::parse(entry->json, nullptr, false);
                events.push_back(Json{{"number", entry->place},
                                      {"at", utc_text(entry->at)},
                                      {"at_ms", entry->at.ms},
                                      {"by", entry->by_erased ? Json(nullptr) : Json(entry->by)},
                                      {"what", std::move(what)}});
            }
            one["branches"].push_back(std::move(events));
        }
        all["visits"].push_back(std::move(one));
    }
    return all;
}

} // namespace

// Days to a date: H. Hinnant, "chrono-Compatible Low-Level Date Algorithms", civil_from_days.
std::string utc_text(Instant at) {
    constexpr std::int64_t day_ms = 86'400'000;
    const std::int64_t days = at.ms / day_ms - (at.ms % day_ms < 0 ? 1 : 0);
    const std::int64_t in_day = at.ms - days * day_ms;
    const std::int64_t z = days + 719'468;
    const std::int64_t era = (z >= 0 ? z : z - 146'096) / 146'097;
    const std::int64_t doe = z - era * 146'097;
    const std::int64_t yoe = (doe - doe / 1'460 + doe / 36'524 - doe / 146'096) / 365;
    const std::int64_t doy = doe - (365 * yoe + yoe / 4 - yoe / 100);
    const std::int64_t mp = (5 * doy + 2) / 153;
    const std::int64_t day = doy - (153 * mp + 2) / 5 + 1;
    const std::int64_t month = mp < 10 ? mp + 3 : mp - 9;
    const std::int64_t year = yoe + era * 400 + (month <= 2 ? 1 : 0);
    std::array<char, 96> text{};
    std::snprintf(text.data(), text.size(), "%04lld-%02lld-%02lldT%02lld:%02lld:%02lld.%03lldZ",
                  static_cast<long long>(year), static_cast<long long>(month), static_cast<long long>(day),
                  static_cast<long long>(in_day / 3'600'000), static_cast<long long>(in_day / 60'000 % 60),
                  static_cast<long long>(in_day / 1'000 % 60), static_cast<long long>(in_day % 1'000));
    return text.data();
}

std::vector<ExportFile> export_all(const LogSlice& slice) {
    const std::vector<SiteView> sites = sites_of(slice);
    const std::vector<VisitView> visits = visits_of(slice);
    return {{"sites.csv", sites_csv(sites)},
            {"differences.csv", differences_csv(sites)},
            {"visits.csv", visits_csv(visits)},
            {"events.csv", events_csv(visits)},
            {"parts.csv", parts_csv(visits)},
            {"everything.json",
             everything(sites, visits).dump(2, ' ', false, Json::error_handler_t::replace) + "\n"}};
}

} // namespace beckhand::bundle
