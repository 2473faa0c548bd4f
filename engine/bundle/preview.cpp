#include "engine/bundle/preview.h"

#include <algorithm>
#include <set>

#include <nlohmann/json.hpp>


namespace beckhand::bundle {
namespace {

constexpr std::int64_t future_ms = std::int64_t{48} * 3600 * 1000;

template <class View>
const View* find(const std::vector<View>& views, const std::string& id) {
    const auto found = std::find_if(views.begin(), views.end(), [&](const View& one) { return one.id == id; });
    return found == views.end() ? nullptr : &*found;
}

std::string name_of_site(const std::vector<SiteView>& sites, const std::string& id) {
    const SiteView* const site = find(sites, id);
    return site && !site->site.name.empty() ? site->site.name : id;
}

/// All values that hold, so that two views can be compared.
std::vector<std::string> held(const SiteView& site) {
    std::vector<std::string> values;
    for (const FieldValues& field : site.fields) {
        for (const FieldValue& value : field.live) {
            values.push_back(value.json);
        }
    }
    return values;
}

std::size_t events_in(const VisitView& visit) {
    std::set<Digest> names;
    for (const auto& branch : visit.branches) {
        for (const LogEntry* const entry : branch) {
            names.insert(entry->hash);
        }
    }
    return names.size();
}

void compare_sites(Preview& shown, const std::vector<SiteView>& before, const std::vector<SiteView>& after) {
    for (const SiteView& site : after) {
        const SiteView* const known = find(before, site.id);
        const std::string name = name_of_site(after, site.id);
        if (!known)
            shown.new_sites.push_back(name);
        else if (held(*known) != held(site))
            shown.changed_sites.push_back(name);
        for (const FieldValues& field : site.fields) {
            if (field.live.size() < 2)
                continue;
            Difference difference{site.id, name, field.field, {}, field.counted};
            for (const FieldValue& value : field.live) {
                difference.values.push_back(value.json);
            }
            shown.differences.push_back(std::move(difference));
        }
    }
}

void compare_visits(Preview& shown, const std::vector<VisitView>& before, const std::vector<VisitView>& after,
                    const std::vector<SiteView>& sites) {
    for (const VisitView& visit : after) {
        const VisitView* const known = find(before, visit.id);
        if (!known)
            ++shown.new_visits;
        else if (events_in(*known) < events_in(visit))
            ++shown.longer_visits;
        if (visit.branches.size() < 2)
            continue;
        ForkedVisit fork{visit.id, name_of_site(sites, visit.site_id), {}};
        for (const auto& branch : visit.branches) {
            fork.last_by.push_back(branch.back()->by);
        }
        shown.forks.push_back(std::move(fork));
    }
}

std::vector<std::string> doubled_in(const LogSlice& slice) {
    std::set<std::pair<std::string, std::int64_t>> seen;
    std::set<std::string> doubled;
    for (const auto& [name, entry] : slice.entries) {
        if (!seen.emplace(entry.device, entry.number).second)
            doubled.insert(entry.device);
    }
    return {doubled.begin(), doubled.end()};
}

std::string count_of(std::size_t number, const std::string& one, const std::string& many) {
    return std::to_string(number) + " " + (number == 1 ? one : many);
}

/// A part of a site as it is read: "fall_m 3.2".
std::string part_text(const std::string& json) {
    const nlohmann::json part = nlohmann::json::parse(json, nullptr, false);
    std::string text;
    if (part.is_object()) {
        for (const auto& [key, value] : part.items()) {
            if (key != "exact_si")
                text += (text.empty() ? "" : ", ") + (value.is_string() ? value.get<std::string>() : value.dump());
        }
    }
    return text.empty() ? "not known" : text;
}

} // namespace

Preview preview(const LogSlice& have, const LogSlice& offered, Instant now) {
    const LogSlice after = merge(have, offered);
    Preview shown;
    for (const auto& [name, entry] : after.entries) {
        const auto known = have.entries.find(name);
        if (known != have.entries.end()) {
            const bool more = (entry.by_erased && !known->second.by_erased) ||
                              (entry.json_erased && !known->second.json_erased);
            shown.newly_erased += more ? 1u : 0u;
            continue;
        }
        ++shown.new_entries;
        shown.from_the_future += entry.at.ms > now.ms + future_ms ? 1u : 0u;
        if (about(entry) == About::visit && !event_of(entry))
            shown.newer_kinds = true;
    }
    const std::vector<SiteView> sites = sites_of(after);
    compare_sites(shown, sites_of(have), sites);
    compare_visits(shown, visits_of(have), visits_of(after), sites);
    shown.doubled = doubled_in(after);
    shown.digest = digest_of(after);
    return shown;
}

std::vector<std::string> sentences(const Preview& shown) {
    std::vector<std::string> lines;
    if (shown.new_entries == 0 && shown.newly_erased == 0)
        lines.emplace_back("Nothing in it is new here.");
    for (const std::string& name : shown.new_sites) {
        lines.push_back("New site: " + name + ".");
    }
    for (const std::string& name : shown.changed_sites) {
        lines.push_back("Site with new figures: " + name + ".");
    }
    if (shown.new_visits > 0)
        lines.push_back(count_of(shown.new_visits, "new visit.", "new visits."));
    if (shown.longer_visits > 0) {
        lines.push_back(count_of(shown.longer_visits, "visit known here goes on.", "visits known here go on."));
    }
    for (const Difference& one : shown.differences) {
        std::string line = one.site_name + ", " + one.field + ": two values hold, both are kept.";
        line += " Counted with: " + part_text(one.counted);
        for (const std::string& value : one.values) {
            line += value == one.counted ? "" : "; also: " + part_text(value);
        }
        lines.push_back(line + ".");
    }
    for (const ForkedVisit& one : shown.forks) {
        lines.push_back("A visit to " + one.site_name + " was gone on with on two devices: both are kept.");
    }
    if (shown.newly_erased > 0) {
        lines.push_back("A person asked to be erased: " +
                        count_of(shown.newly_erased, "entry here loses", "entries here lose") + " their data.");
    }
    for (const std::string& device : shown.doubled) {
        lines.push_back("Device " + device.substr(0, 8) + " gave one number to two entries: it may have been copied. Both are kept.");
    }
    if (shown.from_the_future > 0) {
        lines.push_back(count_of(shown.from_the_future, "entry is", "entries are") +
                        " dated more than two days ahead: a clock was wrong. The order is not touched by it.");
    }
    if (shown.newer_kinds)
        lines.emplace_back("Some of it was made by a newer version of Beckhand and is only passed on.");
    return lines;
}

} // namespace beckhand::bundle
