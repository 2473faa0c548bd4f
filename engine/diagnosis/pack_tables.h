// The tables of a pack file and the small handles that pack_write.cpp and pack_read.cpp share.
#pragma once

#include <sqlite3.h>

#include <memory>
#include <string>
#include <vector>

namespace beckhand {

struct CloseDatabase {
    void operator()(sqlite3* database) const { sqlite3_close_v2(database); }
};
struct FinalizeStatement {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
};
using Database = std::unique_ptr<sqlite3, CloseDatabase>;
using Statement = std::unique_ptr<sqlite3_stmt, FinalizeStatement>;

/// A new, empty database in memory that trusts nothing written in a file; null when there is no memory.
[[nodiscard]] Database open_in_memory();

/// Null when the text is not SQL this database can run.
[[nodiscard]] Statement prepare(sqlite3* database, const std::string& sql);

/// One table: its rows belong to `owner` ("" for the pack itself, an id, or "id.position") in order of
/// `position`.
struct Table {
    std::string name;
    std::vector<std::string> columns; // without owner and position
    std::vector<std::string> types;   // TEXT, REAL, INTEGER
};

/// All tables that hold things with fields, in the order they are made.
[[nodiscard]] const std::vector<Table>& pack_tables();
[[nodiscard]] const Table& pack_table(std::string_view name);

/// The statements that make an empty pack file of this schema, as SQLite keeps them.
[[nodiscard]] const std::vector<std::string>& pack_schema_statements();

} // namespace beckhand
