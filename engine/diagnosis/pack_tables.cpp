// The schema of a pack file, drawn from pack_shape.h so that no field can be forgotten.
#include "engine/diagnosis/pack_tables.h"

#include <cstdlib>

#include "engine/diagnosis/pack_shape.h"

namespace beckhand {

namespace {

// Walks one empty thing of each kind and writes down its columns.
class Columns {
public:
    void field(std::string_view name, const std::string&) { add(name, "TEXT"); }
    void field(std::string_view name, double) { add(name, "REAL"); }
    void field(std::string_view name, bool) { add(name, "INTEGER"); }
    void field(std::string_view name, Place) { add(name, "TEXT"); }
    void field(std::string_view name, PumpState) { add(name, "TEXT"); }
    void field(std::string_view name, Mark) { add(name, "TEXT"); }
    void field(std::string_view name, Moves) { add(name, "TEXT"); }

    template <class Value>
    void list(std::string_view, const std::vector<Value>&) {} // lists share one table

    template <class Thing>
    void rows(std::string_view name, const std::vector<Thing>&) {
        const std::size_t outer = current_;
        const std::string outer_prefix = prefix_;
        current_ = tables.size();
        prefix_.clear();
        tables.push_back({std::string(name), {}, {}});
        const Thing empty{};
        pack_shape::shape(*this, empty);
        current_ = outer;
        prefix_ = outer_prefix;
    }
    template <class Thing>
    void inside(std::string_view prefix, const Thing& thing) {
        const std::string outer = prefix_;
        prefix_ += prefix;
        pack_shape::shape(*this, thing);
        prefix_ = outer;
    }

    std::vector<Table> tables;

private:
    void add(std::string_view name, const char* type) {
        tables[current_].columns.push_back(prefix_ + std::string(name));
        tables[current_].types.emplace_back(type);
    }
    std::size_t current_ = 0;
    std::string prefix_;
};

std::vector<Table> make_tables() {
    Columns columns;
    const Pack empty;
    pack_shape::shape(columns, empty);
    return columns.tables;
}

std::vector<std::string> make_statements() {
    std::vector<std::string> statements = {
        "CREATE TABLE meta (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID",
        "CREATE TABLE list (of TEXT NOT NULL, owner TEXT NOT NULL, name TEXT NOT NULL, "
        "position INTEGER NOT NULL, value ANY NOT NULL, "
        "PRIMARY KEY (of, owner, name, position)) STRICT, WITHOUT ROWID",
    };
    for (const Table& table : pack_tables()) {
        std::string sql = "CREATE TABLE " + table.name + " (owner TEXT NOT NULL, position INTEGER NOT NULL";
        for (std::size_t i = 0; i < table.columns.size(); ++i) {
            sql += ", \"" + table.columns[i] + "\" " + table.types[i] + " NOT NULL";
        }
        statements.push_back(sql + ", PRIMARY KEY (owner, position)) STRICT, WITHOUT ROWID");
    }
    return statements;
}

} // namespace

const std::vector<Table>& pack_tables() {
    static const std::vector<Table> tables = make_tables();
    return tables;
}

const Table& pack_table(std::string_view name) {
    for (const Table& table : pack_tables()) {
        if (table.name == name) {
            return table;
        }
    }
    std::abort(); // pack_shape.h names only tables it made itself
}

const std::vector<std::string>& pack_schema_statements() {
    static const std::vector<std::string> statements = make_statements();
    return statements;
}

Database open_in_memory() {
    sqlite3* raw = nullptr;
    const int opened = sqlite3_open_v2(":memory:", &raw, SQLITE_OPEN_READWRITE | SQLITE_OPEN_MEMORY, nullptr);
    Database database(raw);
    if (opened != SQLITE_OK) {
        return nullptr;
    }
    sqlite3_db_config(raw, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_ENABLE_VIEW, 0, nullptr);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0, nullptr);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_DQS_DML, 0, nullptr);
    sqlite3_db_config(raw, SQLITE_DBCONFIG_DQS_DDL, 0, nullptr);
    // After "Defense Against The Dark Arts", SQLite's own page on files from strangers.
    sqlite3_limit(raw, SQLITE_LIMIT_LENGTH, 1'000'000);
    sqlite3_limit(raw, SQLITE_LIMIT_SQL_LENGTH, 100'000);
    sqlite3_limit(raw, SQLITE_LIMIT_COLUMN, 100);
    sqlite3_limit(raw, SQLITE_LIMIT_EXPR_DEPTH, 10);
    sqlite3_limit(raw, SQLITE_LIMIT_COMPOUND_SELECT, 3);
    sqlite3_limit(raw, SQLITE_LIMIT_VDBE_OP, 25'000);
    sqlite3_limit(raw, SQLITE_LIMIT_FUNCTION_ARG, 8);
    sqlite3_limit(raw, SQLITE_LIMIT_ATTACHED, 0);
    sqlite3_limit(raw, SQLITE_LIMIT_LIKE_PATTERN_LENGTH, 50);
    sqlite3_limit(raw, SQLITE_LIMIT_TRIGGER_DEPTH, 10);
    return database;
}

Statement prepare(sqlite3* database, const std::string& sql) {
    sqlite3_stmt* raw = nullptr;
    const auto length = static_cast<int>(sql.size()) + 1;
    const int code = sqlite3_prepare_v2(database, sql.c_str(), length, &raw, nullptr);
    Statement statement(raw);
    return code == SQLITE_OK ? std::move(statement) : nullptr;
}

} // namespace beckhand
