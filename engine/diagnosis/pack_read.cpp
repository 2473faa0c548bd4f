// Reading a pack file back. The bytes may come from anywhere: a damaged or made-up file gives a sentence.
// The order of the checks is cheap ones first; the content hash decides in the end.
#include <cstring>
#include <map>
#include <utility>

#include "engine/diagnosis/pack_file.h"
#include "engine/diagnosis/pack_shape.h"
#include "engine/diagnosis/pack_sound.h"
#include "engine/diagnosis/pack_tables.h"

namespace beckhand {

namespace {

constexpr std::size_t most_size = 16U << 20U; // a hundred times the pack we ship
constexpr std::size_t page_size = 4096;       // what pack_write.cpp sets
// Where SQLite keeps them: SQLite, "Database File Format", section 1.3.
constexpr std::size_t page_size_at = 16, page_count_at = 28, user_version_at = 60, application_id_at = 68;

std::uint32_t big_endian(std::span<const std::byte> bytes, std::size_t at, std::size_t length) {
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < length; ++i) {
        value = (value << 8U) | std::to_integer<std::uint32_t>(bytes[at + i]);
    }
    return value;
}

std::string text_at(const Statement& statement, int column) {
    const unsigned char* const text = sqlite3_column_text(statement.get(), column);
    const int size = sqlite3_column_bytes(statement.get(), column);
    return text ? std::string(reinterpret_cast<const char*>(text), static_cast<std::size_t>(size)) : "";
}

class Reader {
public:
    explicit Reader(sqlite3* database)
        : database_(database),
          lists_(prepare(
              database, "SELECT value FROM list WHERE of = ? AND owner = ? AND name = ? ORDER BY position")),
          meta_(prepare(database, "SELECT value FROM meta WHERE name = ?")) {}

    std::string meta(const std::string& name) {
        bind(meta_, 1, name);
        const std::string value = step(meta_) ? text_at(meta_, 0) : "";
        sqlite3_reset(meta_.get());
        return value;
    }

    void field(std::string_view name, std::string& text) {
        text = text_at(*row_, column_++);
        if (name == "id" && prefix_.empty() && outermost_) {
            path_ = text;
        }
    }
    void field(std::string_view, double& number) { number = sqlite3_column_double(row_->get(), column_++); }
    void field(std::string_view, bool& yes) { yes = sqlite3_column_int(row_->get(), column_++) != 0; }
    void field(std::string_view, Place& place) { word(place, place_of(text_at(*row_, column_++))); }
    void field(std::string_view, PumpState& state) { word(state, pump_state_of(text_at(*row_, column_++))); }
    void field(std::string_view, Mark& mark) { word(mark, mark_of(text_at(*row_, column_++))); }
    void field(std::string_view, Moves& moves) { word(moves, moves_of(text_at(*row_, column_++))); }

    void list(std::string_view name, std::vector<std::string>& values) {
        values.clear();
        open_list(name);
        while (step(lists_)) {
            values.push_back(text_at(lists_, 0));
        }
        sqlite3_reset(lists_.get());
    }
    void list(std::string_view name, std::vector<double>& values) {
        values.clear();
        open_list(name);
        while (step(lists_)) {
            values.push_back(sqlite3_column_double(lists_.get(), 0));
        }
        sqlite3_reset(lists_.get());
    }

    template <class Thing>
    void rows(std::string_view table, std::vector<Thing>& things) {
        things.clear();
        const Statement& select = select_from(table);
        const Statement* const outer_row = std::exchange(row_, &select);
        const int outer_column = column_;
        const bool outer_outermost = std::exchange(outermost_, outer_row == nullptr);
        const std::string owner = path_;
        const std::string outer_table = std::exchange(table_, std::string(table));
        const std::string outer_prefix = std::exchange(prefix_, {});
        bind(select, 1, owner);
        while (step(select)) {
            path_ = owner + "." + std::to_string(things.size());
            column_ = 0;
            Thing thing{};
            pack_shape::shape(*this, thing);
            things.push_back(std::move(thing));
        }
        sqlite3_reset(select.get());
        row_ = outer_row;
        column_ = outer_column;
        outermost_ = outer_outermost;
        path_ = owner;
        table_ = outer_table;
        prefix_ = outer_prefix;
    }
    template <class Thing>
    void inside(std::string_view prefix, Thing& thing) {
        const std::string outer = prefix_;
        prefix_ += prefix;
        pack_shape::shape(*this, thing);
        prefix_ = outer;
    }

    bool failed = false;

private:
    template <class Word>
    void word(Word& into, std::optional<Word> found) {
        failed = failed || !found;
        into = found.value_or(into);
    }
    void bind(const Statement& statement, int column, const std::string& text) {
        failed = failed || sqlite3_bind_text64(statement.get(), column, text.data(), text.size(),
                                               SQLITE_TRANSIENT, SQLITE_UTF8) != SQLITE_OK;
    }
    // True while there is a row; anything but a row or the end is a failure and ends the reading.
    bool step(const Statement& statement) {
        if (failed) {
            return false;
        }
        const int code = sqlite3_step(statement.get());
        failed = code != SQLITE_ROW && code != SQLITE_DONE;
        return code == SQLITE_ROW;
    }
    void open_list(std::string_view name) {
        bind(lists_, 1, table_);
        bind(lists_, 2, path_);
        bind(lists_, 3, prefix_ + std::string(name));
    }
    const Statement& select_from(std::string_view table) {
        const auto known = selects_.find(std::string(table));
        if (known != selects_.end()) {
            return known->second;
        }
        std::string columns;
        for (const std::string& column : pack_table(table).columns) {
            columns += (columns.empty() ? "\"" : ", \"") + column + "\"";
        }
        const std::string sql =
            "SELECT " + columns + " FROM " + std::string(table) + " WHERE owner = ? ORDER BY position";
        return selects_.emplace(std::string(table), prepare(database_, sql)).first->second;
    }

    sqlite3* database_;
    Statement lists_, meta_;
    std::map<std::string, Statement> selects_;
    const Statement* row_ = nullptr;
    int column_ = 0;
    bool outermost_ = false;
    std::string path_, table_, prefix_;
};

// Only the very tables this program makes: no view, trigger, index or virtual table of someone else's.
bool has_our_schema(sqlite3* database) {
    const Statement select = prepare(database, "SELECT sql FROM sqlite_schema ORDER BY rowid");
    if (!select) {
        return false;
    }
    for (const std::string& sql : pack_schema_statements()) {
        if (sqlite3_step(select.get()) != SQLITE_ROW || text_at(select, 0) != sql) {
            return false;
        }
    }
    return sqlite3_step(select.get()) == SQLITE_DONE;
}

bool passes_quick_check(sqlite3* database) {
    const Statement check = prepare(database, "PRAGMA quick_check(1)");
    return check && sqlite3_step(check.get()) == SQLITE_ROW && text_at(check, 0) == "ok";
}

} // namespace

Result<Pack> read_pack(std::span<const std::byte> bytes, const std::string& name) {
    const std::string get_another = "Use the pack that came with the program, or fetch the file again.";
    const Problem damaged{name, "This pack file is damaged.", get_another};

    constexpr std::string_view magic("SQLite format 3\0", 16);
    if (bytes.size() < page_size || std::memcmp(bytes.data(), magic.data(), magic.size()) != 0 ||
        big_endian(bytes, application_id_at, 4) != static_cast<std::uint32_t>(pack_application_id)) {
        return Problem{name, "This is not a pack file.", get_another};
    }
    if (bytes.size() > most_size) {
        return Problem{name, "This pack file is larger than 16 MiB, so it is not one of ours.", get_another};
    }
    const auto schema = static_cast<std::int32_t>(big_endian(bytes, user_version_at, 4));
    if (schema > pack_schema) {
        return Problem{name,
                       "This pack was made by a newer program (schema " + std::to_string(schema) +
                           ", this program reads " + std::to_string(pack_schema) + ").",
                       "Update the program, or use an older pack."};
    }
    if (schema > 0 && schema < pack_schema) {
        return Problem{name,
                       "This pack was made for an older program (schema " + std::to_string(schema) +
                           ", this program reads " + std::to_string(pack_schema) + ").",
                       "Use the pack that came with the program, or build it anew from its TOML."};
    }
    const bool whole = big_endian(bytes, page_size_at, 2) == page_size &&
                       std::uint64_t{page_size} * big_endian(bytes, page_count_at, 4) == bytes.size();
    if (schema != pack_schema || !whole) {
        return damaged;
    }

    const Database database = open_in_memory();
    auto* const copy = static_cast<unsigned char*>(sqlite3_malloc64(bytes.size()));
    if (!database || !copy) {
        sqlite3_free(copy);
        return Problem{name, "There is not enough memory to open this pack.", "Close other programs."};
    }
    std::memcpy(copy, bytes.data(), bytes.size());
    const auto size = static_cast<sqlite3_int64>(bytes.size());
    // SQLite frees the copy from here on, also when this fails.
    if (sqlite3_deserialize(database.get(), "main", copy, size, size,
                            SQLITE_DESERIALIZE_FREEONCLOSE | SQLITE_DESERIALIZE_READONLY) != SQLITE_OK) {
        return damaged;
    }
    // A made-up file cannot keep us reading for ever: reading our own pack takes a few thousand of these.
    int rounds_left = 100'000;
    sqlite3_progress_handler(
        database.get(), 1000, [](void* left) { return --*static_cast<int*>(left) < 0 ? 1 : 0; },
        &rounds_left);
    if (!has_our_schema(database.get()) || !passes_quick_check(database.get())) {
        return damaged;
    }

    Pack pack;
    Reader reader(database.get());
    pack.version = reader.meta("version");
    pack.issued = reader.meta("issued");
    pack.hash = reader.meta("hash");
    pack_shape::shape(reader, pack);
    if (reader.failed || pack.hash != content_hash(pack)) {
        return damaged;
    }
    if (const std::optional<Problem> problem = unsound(pack)) {
        return Problem{name, "This pack cannot be used: " + problem->sentence(), get_another};
    }
    return pack;
}

} // namespace beckhand
