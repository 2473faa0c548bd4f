// Both directions of an event run through one list of its members, so that what is written is what is
// read. Nothing here throws: parsing reports by value, and text is checked before it is written strictly.
#include "engine/records/event_json.h"

#include <array>
#include <cmath>
#include <concepts>
#include <limits>
#include <type_traits>
#include <utility>

#include <nlohmann/json.hpp>

#include "engine/records/site_json.h"

namespace beckhand {
namespace {

using Json = SiteJson;

std::string dump(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

// A broken byte is dropped by one handler and replaced by the other: the texts agree only without any.
bool sound_text(const Json& json) {
    return dump(json) == json.dump(-1, ' ', false, Json::error_handler_t::ignore);
}

// --- words of the enums ---

template <class E>
struct Word {
    E value;
    std::string_view text;
};
constexpr std::array care_words{Word<Care>{Care::careful, "careful"}, Word<Care>{Care::sloppy, "sloppy"}};
constexpr std::array check_words{Word<CheckResult>{CheckResult::yes, "yes"},
                                 Word<CheckResult>{CheckResult::no, "no"},
                                 Word<CheckResult>{CheckResult::could_not, "could_not"}};
constexpr std::array verdict_words{Word<Verdict>{Verdict::proved, "proved"},
                                   Word<Verdict>{Verdict::better, "better"},
                                   Word<Verdict>{Verdict::not_it, "not_it"},
                                   Word<Verdict>{Verdict::not_proved, "not_proved"}};
constexpr std::array person_words{Word<Person>{Person::keeper, "keeper"}, Word<Person>{Person::helper, "helper"},
                                Word<Person>{Person::newcomer, "newcomer"}};
constexpr std::array aside_words{Word<Aside>{Aside::doubted, "doubted"}, Word<Aside>{Aside::not_now, "not_now"}};
constexpr std::array closing_words{
    Word<Closing>{Closing::proved, "proved"}, Word<Closing>{Closing::handed_on, "handed_on"},
    Word<Closing>{Closing::called_help, "called_help"}, Word<Closing>{Closing::left_as_is, "left_as_is"}};
constexpr const auto& words_of(Care) {
    return care_words;
}
constexpr const auto& words_of(CheckResult) {
    return check_words;
}
constexpr const auto& words_of(Verdict) {
    return verdict_words;
}
constexpr const auto& words_of(Person) {
    return person_words;
}
constexpr const auto& words_of(Aside) {
    return aside_words;
}
constexpr const auto& words_of(Closing) {
    return closing_words;
}

// --- events: one list of members each, walked by Writer and by Reader ---

template <class E, class Kind>
concept Is = std::same_as<std::remove_const_t<E>, Kind>;

void members(auto& io, Is<Opened> auto& e) {
    io("site_id", e.site_id), io("site", e.site);
    io("pack_version", e.pack_version), io("pack_hash", e.pack_hash);
}
void members(auto& io, Is<Answered> auto& e) {
    io("observation", e.observation), io("answer", e.answer), io("told", e.told);
}
void members(auto& io, Is<Measured> auto& e) {
    io("measurement", e.measurement), io("value_si", e.value_si), io("care", e.care);
    io.above_zero("error_si", e.error_si); // left out by all who had no way to measure coarsely
}
void members(auto& io, Is<NotMeasured> auto& e) {
    io("measurement", e.measurement);
}
void members(auto& io, Is<FixChosen> auto& e) {
    io("cause", e.cause);
}
void members(auto& io, Is<Checked> auto& e) {
    io("cause", e.cause), io("result", e.result);
}
void members(auto& io, Is<StepTicked> auto& e) {
    io("cause", e.cause), io("step", e.step), io("done", e.done);
}
void members(auto& io, Is<FixFinished> auto& e) {
    io("cause", e.cause);
}
void members(auto& io, Is<ProofSeen> auto& e) {
    io("cause", e.cause), io("yes", e.yes);
}
void members(auto& io, Is<ProofNotSeen> auto& e) {
    io("cause", e.cause);
}
void members(auto& io, Is<Judged> auto& e) {
    io("cause", e.cause), io("verdict", e.verdict);
}
void members(auto& io, Is<Noted> auto& e) {
    io("text", e.text);
}
void members(auto& io, Is<Closed> auto& e) {
    io("how", e.how);
}
void members(auto& io, Is<TookBack> auto& e) {
    io("event", e.event);
}
void members(auto&, Is<Began> auto&) {}
void members(auto& io, Is<Heeded> auto& e) {
    io("caution", e.caution);
}
void members(auto& io, Is<SetAside> auto& e) {
    io("cause", e.cause), io("why", e.why);
}
void members(auto& io, Is<SafeNow> auto& e) {
    io("caution", e.caution);
}
void members(auto& io, Is<Offered> auto& e) {
    io("to", e.to);
}
void members(auto& io, Is<SaidBack> auto& e) {
    io("topic", e.topic), io("right", e.right);
}
void members(auto& io, Is<Received> auto& e) {
    io("by", e.by);
}
void members(auto& io, Is<Serviced> auto& e) {
    io("service", e.service);
}

void members(auto& io, Is<PartUsed> auto& e) {
    io("part", e.part), io("count", e.count);
}
void members(auto& io, Is<AnsweringAs> auto& e) {
    io("person", e.person);
}
void members(auto& io, Is<Recalled> auto& e) {
    io("past", e.past), io("learned", e.learned);
}

// In the order of the variant's alternatives.
constexpr std::array<const char*, 25> kinds{"opened",     "answered",       "measured",    "not_measured",
                                            "fix_chosen", "checked",        "step_ticked", "fix_finished",
                                            "proof_seen", "proof_not_seen", "judged",      "noted",
                                            "closed",     "took_back",      "began",       "heeded",
                                            "set_aside",  "safe_now",       "offered",     "said_back",
                                            "received",   "serviced",       "part_used",   "answering_as",
                                            "recalled"};
static_assert(kinds.size() == std::variant_size_v<HappeningKinds>);

struct Writer {
    Json& json;
    bool finite = true;

    void operator()(const char* key, const std::string& text) { json[key] = text; }
    void operator()(const char* key, bool yes) { json[key] = yes; }
    void operator()(const char* key, int number) { json[key] = number; }
    void operator()(const char* key, double number) {
        finite = finite && std::isfinite(number);
        json[key] = number;
    }
    void above_zero(const char* key, double number) {
        if (number != 0) operator()(key, number);
    }
    void operator()(const char* key, const Site& site) {
        finite = finite && all_finite(site);
        json[key] = json_of(site);
    }
    void operator()(const char* key, const std::vector<PastRepair>& past) {
        json[key] = Json::array();
        for (const PastRepair& repair : past) {
            finite = finite && std::isfinite(repair.days);
            json[key].push_back(Json{{"cause", repair.cause}, {"days", repair.days}});
        }
    }
    void operator()(const char* key, const std::map<std::string, double>& counts) {
        json[key] = Json::object();
        for (const auto& [id, count] : counts) {
            finite = finite && std::isfinite(count);
            json[key][id] = count;
        }
    }
    template <class E>
    requires std::is_enum_v<E>
    void operator()(const char* key, E value) {
        for (const auto& word : words_of(value)) {
            if (word.value == value)
                json[key] = word.text;
        }
    }
};

/// Stops at the first member that is missing or of the wrong shape, and says which.
struct Reader {
    const Json& json;
    std::size_t taken = 1; // the kind
    std::optional<Problem> problem = std::nullopt;

    const Json* find(const char* key) {
        const auto found = problem ? json.end() : json.find(key);
        if (found == json.end())
            return refuse(key), nullptr;
        ++taken;
        return &*found;
    }
    void refuse(const char* key) {
        if (!problem)
            problem =
                Problem{"event", std::string("Its \"") + key + "\" is missing or not as it should be.", ""};
    }
    void operator()(const char* key, std::string& text) {
        const Json* const value = find(key);
        if (value && value->is_string())
            text = value->get<std::string>();
        else
            refuse(key);
    }
    void operator()(const char* key, bool& yes) {
        const Json* const value = find(key);
        if (value && value->is_boolean())
            yes = value->get<bool>();
        else
            refuse(key);
    }
    void operator()(const char* key, int& number) {
        const Json* const value = find(key);
        // Unsigned above 2^63 would wrap; as a double every integer keeps its size.
        const double size = value && value->is_number_integer() ? value->get<double>() : 1e300;
        if (std::abs(size) <= std::numeric_limits<int>::max())
            number = value->get<int>();
        else
            refuse(key);
    }
    void operator()(const char* key, double& number) {
        const Json* const value = find(key);
        if (value && value->is_number())
            number = value->get<double>();
        else
            refuse(key);
    }
    void above_zero(const char* key, double& number) {
        if (problem || json.find(key) == json.end()) return;
        operator()(key, number);
        if (!(number > 0)) refuse(key);
    }
    void operator()(const char* key, Site& site) {
        const Json* const value = find(key);
        if (!value)
            return;
        Result<Site> read = site_of(*value);
        if (read)
            site = std::move(*read);
        else
            problem = read.error();
    }
    void operator()(const char* key, std::vector<PastRepair>& past) {
        const Json* const value = find(key);
        if (!value || !value->is_array()) return refuse(key);
        for (const Json& item : *value) {
            const auto cause = item.is_object() ? item.find("cause") : item.end();
            const auto days = item.is_object() ? item.find("days") : item.end();
            if (item.size() != 2 || cause == item.end() || days == item.end() || !cause->is_string() || !days->is_number())
                return refuse(key);
            past.push_back({cause->get<std::string>(), days->get<double>()});
        }
    }
    void operator()(const char* key, std::map<std::string, double>& counts) {
        const Json* const value = find(key);
        if (!value || !value->is_object()) return refuse(key);
        for (const auto& [id, count] : value->items()) {
            if (!count.is_number()) return refuse(key);
            counts[id] = count.get<double>();
        }
    }
    template <class E>
    requires std::is_enum_v<E>
    void operator()(const char* key, E& held) {
        const Json* const value = find(key);
        const std::string text = value && value->is_string() ? value->get<std::string>() : std::string();
        for (const auto& word : words_of(E{})) {
            if (word.text == text) {
                held = word.value;
                return;
            }
        }
        refuse(key);
    }
};

Json json_of(const Happening& what, bool& finite) {
    Json json = Json::object();
    json["kind"] = kinds[what.index()];
    Writer writer{json};
    std::visit([&](const auto& event) { members(writer, event); }, what);
    finite = writer.finite;
    return json;
}

template <std::size_t... Index>
Happening empty_of_kind(std::size_t kind, std::index_sequence<Index...>) {
    Happening what;
    ((kind == Index ? void(what.emplace<Index>()) : void()), ...);
    return what;
}

Result<std::string> kept(const Json& json, bool finite) {
    if (!finite) {
        return Problem{"", "A figure here is not a number.", "Measure it again, or leave it out."};
    }
    if (!sound_text(json)) {
        return Problem{"", "Some text here is not valid UTF-8.", "Type it again; do not paste it."};
    }
    return dump(json);
}

} // namespace

std::string_view kind_of(const Happening& what) {
    return kinds[what.index()];
}

std::string to_json(const Site& site) {
    return dump(json_of(site));
}

std::string to_json(const Happening& what) {
    bool finite = true;
    return dump(json_of(what, finite));
}

Result<std::string> kept_json(const Site& site) {
    return kept(json_of(site), all_finite(site));
}

Result<std::string> kept_json(const Happening& what) {
    bool finite = true;
    const Json json = json_of(what, finite);
    return kept(json, finite);
}

Result<Site> site_from_json(const std::string& text) {
    const Json json = Json::parse(text, nullptr, false);
    if (json.is_discarded())
        return Problem{"site", "This is not JSON text.", ""};
    return site_of(json);
}

Result<Happening> happening_from_json(const std::string& text) {
    const Json json = Json::parse(text, nullptr, false);
    if (!json.is_object())
        return Problem{"event", "This is not the JSON text of an event.", ""};
    const auto kind = json.find("kind");
    if (kind == json.end() || !kind->is_string())
        return Problem{"event", "It does not say its kind.", ""};
    const std::string name = kind->get<std::string>();
    for (std::size_t index = 0; index < kinds.size(); ++index) {
        if (name != kinds[index])
            continue;
        Happening what = empty_of_kind(index, std::make_index_sequence<kinds.size()>());
        Reader reader{json};
        std::visit([&](auto& event) { members(reader, event); }, what);
        if (reader.problem)
            return *reader.problem;
        if (reader.taken != json.size()) {
            return Problem{"event", "It says more than this version of Beckhand knows of \"" + name + "\".",
                           "Open it with the version that wrote it."};
        }
        return what;
    }
    return Problem{"event", "This version of Beckhand does not know events of the kind \"" + name + "\".",
                   "Open it with the version that wrote it."};
}

} // namespace beckhand
