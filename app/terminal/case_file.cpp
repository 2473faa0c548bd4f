#include "app/terminal/case_file.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/terminal/case_toml.h"
#include "engine/nearest.h"
#include "engine/quantity/text.h"

namespace beckhand {

using case_toml::at;
using case_toml::in_quotes;
using case_toml::read_site_keys;
using case_toml::unknown_key;

namespace {

bool holds(const std::vector<std::string>& words, std::string_view word) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) {
        text += text.empty() ? word : ", " + word;
    }
    return text;
}

constexpr const char* observations_todo = "The observations stand in knowledge/pack, as [observation.ID].";
constexpr const char* site_file_todo = "Give at least fall_m and lift_m, better the pipes too: fall_m = 2.0.";

std::string meant_or(const std::string& meant, const char* otherwise) { return meant.empty() ? otherwise : meant; }

/// A site file has its keys at the top, and none of a case's tables.
std::optional<Problem> site_file_instead(const toml::table& table, const std::string& name) {
    for (const char* const part : {"site", "answers", "measured", "first_told"}) {
        if (table.contains(part))
            return std::nullopt;
    }
    return Problem{name, "There is neither [site] nor [answers] in this file.",
                   "A case needs one of them. `beckhand site check` and `beckhand pump` take a site file."};
}

/// The ways people say that they cannot answer; taken for any observation, whichever of them it lists.
bool is_cannot_word(std::string_view word) {
    static constexpr std::array<std::string_view, 16> words{
        "cannot_find", "cannot_reach", "cannot_tell", "no_gauge",     "no_mark",    "no_record",
        "no_vent",     "not_checked",  "not_known",   "not_measured", "not_opened", "not_running",
        "not_tested",  "not_tried",    "not_walked",  "hidden"};
    return std::find(words.begin(), words.end(), word) != words.end();
}

/// How a bare number under a measurement's id is read, and the spellings with the unit in the name.
struct MeasuredKey {
    std::string_view id;
    Figure kind;
    double si_per_unit;
    std::array<std::string_view, 2> also;
};
constexpr double lpm = litres_per_minute.si_per_unit;
constexpr std::array<MeasuredKey, 14> measured_keys{{
    {"H", Figure::length, 1, {"H_m", "fall_m"}},
    {"D", Figure::flow, lpm, {"D_lpm", "drive_flow_lpm"}},
    {"W", Figure::flow, lpm, {"W_lpm", "waste_flow_lpm"}},
    {"Q", Figure::flow, lpm, {"Q_lpm", "delivered_flow_lpm"}},
    {"B", Figure::beat, beats_per_minute.si_per_unit, {"B_per_min", "beat_per_min"}},
    {"Ps", Figure::pressure, bar.si_per_unit, {"Ps_bar", "stopped_pressure_bar"}},
    {"Pr", Figure::pressure, bar.si_per_unit, {"Pr_bar", "running_pressure_bar"}},
    {"Lift", Figure::length, 1, {"Lift_m", "lift_m"}},
    {"Ld", Figure::length, 1, {"Ld_m", "drive_length_m"}},
    {"Db", Figure::bore, 1e-3, {"Db_mm", "drive_bore_mm"}},
    {"Le", Figure::length, 1, {"Le_m", "delivery_length_m"}},
    {"De", Figure::bore, 1e-3, {"De_mm", "delivery_bore_mm"}},
    {"T", Figure::temperature, 1, {"T_c", "water_temp_c"}},
    {"S", Figure::flow, lpm, {"S_lpm", "source_flow_lpm"}},
}};

const MeasuredKey* measured_key(std::string_view key) {
    for (const MeasuredKey& known : measured_keys) {
        if (key == known.id || key == known.also[0] || key == known.also[1]) {
            return &known;
        }
    }
    return nullptr;
}

Result<Measured> read_measured(const MeasuredKey& key, const toml::node& node, const std::string& where,
                               Care care, const Pack& pack) {
    double si = 0;
    if (const auto text = node.value<std::string>(); text && node.is_string()) {
        auto parsed = parse_figure(key.kind, *text, Units::metric, Sign::any);
        if (!parsed) {
            Problem problem = parsed.error();
            problem.where = where + ": " + std::string(key.id);
            return problem;
        }
        si = *parsed;
    } else if (node.is_number()) {
        si = *node.value<double>() * key.si_per_unit;
    } else {
        return Problem{where, in_quotes(key.id) + " is not a figure.",
                       "Write a number, or text with its unit such as \"12.5 L/min\"."};
    }
    const Measurement* how = find_measurement(pack, key.id);
    if (how == nullptr || !std::isfinite(si) || si < std::min(how->least, 0.0) || si > how->most) {
        return Problem{
            where, in_quotes(key.id) + " of " + format_figure(key.kind, si, Units::metric) + " cannot be.",
            how == nullptr ? "The pack does not know this measurement."
                           : "It lies between " + format_figure(key.kind, how->least, Units::metric) +
                                 " and " + format_figure(key.kind, how->most, Units::metric) + "."};
    }
    return Measured{std::string(key.id), si, care};
}

Outcome read_measured_table(const toml::table& table, const std::string& name, Care care, const Pack& pack,
                            std::map<std::string, Measured>& measured, std::vector<std::string>& notes,
                            std::string_view passed_over = {}) {
    std::vector<std::string> known;
    for (const MeasuredKey& key : measured_keys) {
        known.emplace_back(key.id);
        known.emplace_back(key.also[1]);
    }
    for (const auto& [key, node] : table) {
        if (key.str() == passed_over)
            continue;
        const std::string where = at(name, node);
        const MeasuredKey* found = measured_key(key.str());
        if (found == nullptr) {
            if (auto wrong = unknown_key(where, key.str(), known, notes))
                return *wrong;
            continue;
        }
        Result<Measured> read = read_measured(*found, node, where, care, pack);
        if (!read)
            return read.error();
        measured[read->measurement] = *read;
    }
    return Done{};
}

std::vector<std::string> observation_ids(const Pack& pack) {
    std::vector<std::string> ids;
    for (const Observation& observation : pack.observations) {
        ids.push_back(observation.id);
    }
    return ids;
}

Outcome read_answers(const toml::table& table, const std::string& name, const Pack& pack, CaseFile& file) {
    for (const auto& [key, node] : table) {
        const std::string where = at(name, node);
        const Observation* observation = find_observation(pack, key.str());
        if (observation == nullptr) {
            return Problem{where, in_quotes(key.str()) + " is not an observation of the pack.",
                           meant_or(did_you_mean(key.str(), observation_ids(pack)), observations_todo)};
        }
        const auto answer = node.value<std::string>();
        std::vector<std::string> known;
        for (const Answer& possible : observation->answers) {
            known.push_back(possible.id);
        }
        if (!answer || !node.is_string()) {
            return Problem{where, "The answer to " + in_quotes(observation->id) + " is not text.",
                           "Write one of " + joined(known) + " in quotation marks."};
        }
        if (find_answer(*observation, *answer) == nullptr && !is_cannot_word(*answer)) {
            return Problem{where, in_quotes(*answer) + " is not an answer to " + in_quotes(observation->id) + ".",
                           "It is one of " + joined(known) + "."};
        }
        file.answers[observation->id] = *answer;
    }
    return Done{};
}

Outcome read_cause(const toml::node& node, const std::string& where, const Pack& pack, CaseFile& file) {
    if (!node.is_string()) {
        return Problem{where, "\"cause\" is not text.",
                       "Write the id of a cause, such as cause = \"screen_matted\", or leave the line out."};
    }
    file.cause = node.value<std::string>().value_or("");
    if (find_cause(pack, file.cause) != nullptr)
        return Done{};
    std::vector<std::string> ids;
    for (const Cause& cause : pack.causes) {
        ids.push_back(cause.id);
    }
    return Problem{where, in_quotes(file.cause) + " is not a cause of the pack.",
                   meant_or(did_you_mean(file.cause, ids),
                            "Its causes stand in knowledge/pack. Leave the line out where nobody knows.")};
}

Outcome read_first_told(const toml::node& node, const std::string& name, const Pack& pack, CaseFile& file) {
    const toml::array* list = node.as_array();
    if (list == nullptr) {
        return Problem{at(name, node), "\"first_told\" is not a list.", "Write first_told = [\"beat_now\"]."};
    }
    for (const toml::node& entry : *list) {
        const auto id = entry.value<std::string>();
        const std::string where = at(name, entry);
        if (!id || !entry.is_string()) {
            return Problem{where, "\"first_told\" holds something that is not text.",
                           "List observation ids."};
        }
        if (find_observation(pack, *id) == nullptr) {
            return Problem{where, in_quotes(*id) + " is not an observation of the pack.",
                           meant_or(did_you_mean(*id, observation_ids(pack)), observations_todo)};
        }
        if (file.answers.count(*id) == 0) {
            return Problem{where, in_quotes(*id) + " is told first but has no answer.",
                           "Add " + *id + " = \"...\" under [answers]."};
        }
        file.first_told.push_back(*id);
    }
    return Done{};
}

Result<Care> read_care(const toml::table& table, const std::string& name) {
    const toml::node* node = table.get("care");
    if (node == nullptr)
        return Care::careful;
    const std::string word = node->value<std::string>().value_or("");
    if (word == "careful")
        return Care::careful;
    if (word == "sloppy")
        return Care::sloppy;
    return Problem{at(name, *node), "\"care\" is neither \"careful\" nor \"sloppy\".", "Write one of them."};
}

Outcome read_after(const toml::table& table, const std::string& name, Care care, const Pack& pack,
                   CaseFile& file) {
    if (const toml::node* yes = table.get("yes")) {
        file.after_yes = yes->value<bool>();
        if (!yes->is_boolean()) {
            return Problem{at(name, *yes), "\"yes\" is neither true nor false.",
                           "Write yes = true or yes = false."};
        }
    }
    return read_measured_table(table, name, care, pack, file.after, file.notes, "yes");
}

/// One table of a case. `first_told` and `then` build on the others and are read after them.
Outcome read_part(std::string_view word, const toml::table& part, const std::string& name, Care care,
                  const Pack& pack, CaseFile& file) {
    if (word == "site" || word == "record") {
        return read_site_keys(part, name, word == "record", file.site, file.notes);
    }
    if (word == "measured")
        return read_measured_table(part, name, care, pack, file.measured, file.notes);
    if (word == "answers")
        return read_answers(part, name, pack, file);
    if (word == "after")
        return read_after(part, name, care, pack, file);
    return Done{};
}

Outcome read_into(CaseFile& file, const toml::table& table, const std::string& name, const Pack& pack,
                  const std::vector<std::string>& passed_over) {
    static const std::vector<std::string> tables = {"site", "record", "measured", "answers", "after", "then"};
    static const std::vector<std::string> known = {"site", "record", "measured",   "answers", "after",
                                                   "then", "cause",  "first_told", "care"};
    Result<Care> care = read_care(table, name);
    if (!care)
        return care.error();
    for (const auto& [key, node] : table) {
        const std::string_view word = key.str();
        if (holds(passed_over, word))
            continue;
        Outcome done = Done{};
        if (holds(tables, word)) {
            if (!node.is_table()) {
                return Problem{at(name, node), in_quotes(word) + " is not a table.",
                               "Write [" + std::string(word) + "]."};
            }
            done = read_part(word, *node.as_table(), name, *care, pack, file);
        } else if (word == "cause") {
            done = read_cause(node, at(name, node), pack, file);
        } else if (!holds(known, word)) {
            if (auto wrong = unknown_key(at(name, node), word, known, file.notes))
                return *wrong;
        }
        if (!done)
            return done;
    }
    if (const toml::node* told = table.get("first_told");
        told != nullptr && !holds(passed_over, "first_told")) {
        if (Outcome done = read_first_told(*told, name, pack, file); !done)
            return done;
    }
    if (const toml::node* then = table.get("then")) {
        CaseFile next = file;
        next.cause.clear();
        next.after.clear();
        next.after_yes.reset();
        next.notes.clear();
        if (Outcome done = read_into(next, *then->as_table(), name, pack, {}); !done)
            return done;
        file.notes.insert(file.notes.end(), next.notes.begin(), next.notes.end());
        file.then.push_back(std::move(next));
    }
    return Done{};
}

} // namespace

Result<CaseFile> case_toml::read_case_keys(const toml::table& table, const std::string& name,
                                           const Pack& pack, const std::vector<std::string>& passed_over) {
    CaseFile file;
    if (Outcome done = read_into(file, table, name, pack, passed_over); !done)
        return done.error();
    return file;
}

Result<CaseFile> read_case(const std::string& text, const std::string& name, const Pack& pack) {
    Result<toml::table> table = case_toml::parse(text, name);
    if (!table)
        return table.error();
    if (table->empty()) {
        return Problem{name, "There is nothing in this file.",
                       "A case has [site] with figures such as fall_m = 2.0, and [answers] with what was seen, such as "
                       "beat_now = \"stopped_open\"."};
    }
    Result<CaseFile> file = case_toml::read_case_keys(*table, name, pack);
    if (const auto wrong = site_file_instead(*table, name); wrong && file)
        return *wrong;
    if (file && file->answers.empty() && file->measured.empty()) {
        file->notes.push_back(name + ": There are no answers in this file, so each question is answered with \"cannot "
                                     "tell\". `beckhand site check` takes a site file.");
    }
    return file;
}

Result<Site> read_site(const std::string& text, const std::string& name, std::vector<std::string>* notes) {
    Result<toml::table> table = case_toml::parse(text, name);
    if (!table)
        return table.error();
    if (table->empty()) {
        return Problem{name, "There is nothing in this file.", site_file_todo};
    }
    Site site;
    std::vector<std::string> unused;
    const toml::node* inner = table->get("site");
    const toml::node* record = table->get("record");
    for (const auto& [node, word] : {std::pair(inner, "site"), std::pair(record, "record")}) {
        if (node != nullptr && !node->is_table()) {
            return Problem{at(name, *node), in_quotes(word) + " is not a table.",
                           std::string("Write [") + word + "] and its figures on the lines below."};
        }
    }
    const toml::table& keys = inner != nullptr ? *inner->as_table() : *table;
    if (Outcome done = read_site_keys(keys, name, false, site, unused); !done)
        return done.error();
    if (inner != nullptr && record != nullptr) {
        if (Outcome done = read_site_keys(*record->as_table(), name, true, site, unused); !done)
            return done.error();
    }
    if (notes != nullptr)
        notes->insert(notes->end(), unused.begin(), unused.end());
    if (!site.fall && !site.lift && !site.drive_length && !site.drive_bore) {
        return Problem{name, "There is no site in this file.", site_file_todo};
    }
    return site;
}

} // namespace beckhand
