// Two packs, each written out as a list of values with a name, and the two lists compared.
#include "knowledge/compiler/diff.h"

#include <algorithm>
#include <array>
#include <cstdio>
#include <map>
#include <set>

#include "engine/diagnosis/pack_shape.h"
#include "engine/diagnosis/pack_version.h"

namespace beckhand {

namespace {

template <class List>
bool any_of_these(const List& list, std::string_view name) {
    return std::find(list.begin(), list.end(), name) != list.end();
}

// Texts for a person: another word for the same thing.
constexpr std::array<std::string_view, 24> wordings = {
    "text",      "title",     "say",          "defer_to",     "ask",       "look",     "slip",      "why",
    "name",      "how",       "pitfalls",     "mechanism",    "prior_reason", "looks_like", "check_say", "check_yes",
    "check_no",  "fix_keep",  "proof_see",    "proof_later",  "not_in_the_pump", "tools", "parts",   "sources"};
// What an id stands for: with another of these, a visit of before would say something else.
constexpr std::array<std::string_view, 6> meanings = {"normal", "cannot", "several", "unit", "quantity", "bands"};
// Things that others point at by their id, visits among them.
constexpr std::array<std::string_view, 6> named_things = {"cause",   "observation", "measurement",
                                                          "caution", "service",     "answer"};

Bump weight_of(std::string_view field) {
    return any_of_these(wordings, field) ? Bump::patch : any_of_these(meanings, field) ? Bump::major : Bump::minor;
}

struct Value {
    std::string text;
    Bump weight = Bump::minor;
};
/// One thing, or a part of one that has rows of its own: "cause screen_matted", "cause screen_matted, answer matted".
struct Thing {
    std::string kind;                                        // "cause"
    std::string owner;                                       // what it is a part of; empty: nothing
    std::vector<std::pair<std::string, Value>> values;       // in the order of the shape
};

/// Names a row that has no id by what it is about.
template <class Row>
std::string key_of(const Row& row, std::size_t position) {
    using namespace pack_shape;
    if constexpr (is<Row, Seen> || is<Row, Pointed>) {
        return row.observation + "." + row.answer;
    } else if constexpr (is<Row, Step>) {
        return std::to_string(position + 1);
    } else if constexpr (is<Row, FaultEffect>) {
        return row.parameter;
    } else if constexpr (is<Row, FirstSight>) {
        return "\"" + row.say + "\"";
    } else if constexpr (is<Row, Pair>) {
        return row.first + " and " + row.second;
    } else if constexpr (is<Row, Chain>) {
        return row.first + " to " + row.then;
    } else if constexpr (is<Row, Impossible>) {
        return row.first.observation + "." + row.first.answer + " with " + row.second.observation + "." + row.second.answer;
    } else if constexpr (is<Row, Change>) {
        return row.version;
    } else if constexpr (is<Row, Factor>) {
        return row.cause;
    } else if constexpr (is<Row, Scale>) {
        return "";
    } else {
        return row.id;
    }
}

std::string in_words(std::string_view table) {
    const std::map<std::string_view, std::string> words = {
        {"fires_on", "stop on"}, {"first_sight", "first sight"}, {"look_alike", "look-alike"}, {"fix_step", "step"},
        {"in_the_pump", "effect in the pump"}, {"seen", "mark"}};
    const auto found = words.find(table);
    return found == words.end() ? std::string(table) : found->second;
}

/// Walks a pack and writes down all that is in it.
class Listing {
public:
    void field(std::string_view name, const std::string& text) { add(name, "\"" + text + "\""); }
    void field(std::string_view name, bool yes) { add(name, yes ? "yes" : "no"); }
    void field(std::string_view name, Place place) { add(name, std::string(id_of(place))); }
    void field(std::string_view name, PumpState state) { add(name, std::string(id_of(state))); }
    void field(std::string_view name, Mark mark) { add(name, std::string(id_of(mark))); }
    void field(std::string_view name, Moves moves) { add(name, std::string(id_of(moves))); }
    void field(std::string_view name, double number) { add(name, text_of(number)); }

    template <class Each>
    void list(std::string_view name, const std::vector<Each>& values) {
        std::string text;
        for (const Each& value : values) {
            text += (text.empty() ? "" : ", ") + text_of(value);
        }
        add(name, "[" + text + "]");
    }
    template <class Row>
    void rows(std::string_view table, const std::vector<Row>& all) {
        if (table == "change") {
            return; // tells of the versions; it is no part of what changed
        }
        const std::string outer = current_, outer_prefix = prefix_;
        for (std::size_t i = 0; i < all.size(); ++i) {
            prefix_.clear();
            const std::string key = key_of(all[i], i);
            const std::string name = in_words(table) + (key.empty() ? "" : " " + key);
            current_ = outer.empty() ? name : outer + ", " + name;
            if (things.emplace(current_, Thing{std::string(table), outer, {}}).second) {
                order.push_back(current_);
            }
            pack_shape::shape(*this, all[i]);
        }
        current_ = outer;
        prefix_ = outer_prefix;
    }
    template <class Part>
    void inside(std::string_view prefix, const Part& part) {
        const std::string outer = prefix_;
        prefix_ += prefix;
        pack_shape::shape(*this, part);
        prefix_ = outer;
    }

    std::map<std::string, Thing> things;
    std::vector<std::string> order;

private:
    static std::string text_of(double number) {
        char text[40];
        std::snprintf(text, sizeof text, "%.10g", number);
        return text;
    }
    static std::string text_of(const std::string& text) { return text; }
    void add(std::string_view name, std::string text) {
        const std::string whole = prefix_ + std::string(name);
        things[current_].values.emplace_back(whole, Value{std::move(text), weight_of(whole)});
    }
    std::string current_, prefix_;
};

Listing listing_of(const Pack& pack) {
    Listing listing;
    pack_shape::shape(listing, pack);
    return listing;
}

const Value* find_value(const Thing& thing, const std::string& name) {
    for (const auto& entry : thing.values) {
        if (entry.first == name) {
            return &entry.second;
        }
    }
    return nullptr;
}

/// A mark is told with its weight.
std::string with_mark(const Thing& thing) {
    const Value* const mark = thing.kind == "seen" ? find_value(thing, "mark") : nullptr;
    return mark == nullptr ? "" : " (" + mark->text + ")";
}

void compare(const std::string& name, const Thing& older, const Thing& newer, std::vector<PackChange>& changes) {
    for (const auto& [field, value] : newer.values) {
        const Value* const before = find_value(older, field);
        if (before != nullptr && before->text != value.text) {
            std::string said = field;
            std::replace(said.begin(), said.end(), '_', ' ');
            changes.push_back({value.weight, name + ": " + said + " " + before->text + " -> " + value.text + "."});
        }
    }
}

} // namespace

std::string_view word_of(Bump bump) {
    constexpr std::array<std::string_view, 4> words = {"none", "patch", "minor", "major"};
    return words[static_cast<std::size_t>(bump)];
}

std::vector<PackChange> changes_between(const Pack& older, const Pack& newer) {
    const Listing before = listing_of(older), after = listing_of(newer);
    std::vector<PackChange> changes;
    for (const std::string& name : after.order) {
        const Thing& thing = after.things.at(name);
        const auto known = before.things.find(name);
        if (known != before.things.end()) {
            compare(name, known->second, thing, changes);
        } else if (thing.owner.empty() || before.things.count(thing.owner) > 0) {
            // What belongs to a thing that is new itself is not told one by one.
            changes.push_back({Bump::minor, name + with_mark(thing) + ": added."});
        }
    }
    for (const std::string& name : before.order) {
        const Thing& thing = before.things.at(name);
        if (after.things.count(name) == 0 && (thing.owner.empty() || after.things.count(thing.owner) > 0)) {
            const bool was_named = any_of_these(named_things, thing.kind);
            changes.push_back({was_named ? Bump::major : Bump::minor, name + with_mark(thing) + ": removed."});
        }
    }
    return changes;
}

Bump due_for(const std::vector<PackChange>& changes) {
    Bump due = Bump::none;
    for (const PackChange& change : changes) {
        due = std::max(due, change.due);
    }
    return due;
}

Bump step_between(std::string_view older, std::string_view newer) {
    const auto before = version_of(older), after = version_of(newer);
    if (!before || !after || !(*before < *after)) {
        return Bump::none;
    }
    return (*before)[0] != (*after)[0] ? Bump::major : (*before)[1] != (*after)[1] ? Bump::minor : Bump::patch;
}

std::string version_trouble(const Pack& older, const Pack& newer) {
    const Bump due = due_for(changes_between(older, newer)), step = step_between(older.version, newer.version);
    if (step >= due) {
        return "";
    }
    return "The version goes from " + older.version + " to " + newer.version + ", but what changed asks for a " +
           std::string(word_of(due)) + " step.";
}

} // namespace beckhand
