// A pack as the bytes of its SQLite file. The same pack gives the same bytes.
#include <cstring>
#include <utility>

#include "engine/diagnosis/pack_file.h"
#include "engine/diagnosis/pack_shape.h"
#include "engine/diagnosis/pack_sound.h"
#include "engine/diagnosis/pack_tables.h"

namespace beckhand {

namespace {

class Writer {
public:
    explicit Writer(sqlite3* database)
        : database_(database), insert_list_(prepare(database, "INSERT INTO list VALUES (?, ?, ?, ?, ?)")) {}

    void run(const std::string& sql) {
        failed = failed || sqlite3_exec(database_, sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK;
    }
    void meta(const std::string& name, const std::string& value) {
        const Statement insert = prepare(database_, "INSERT INTO meta VALUES (?, ?)");
        bind(insert, 1, name);
        bind(insert, 2, value);
        step(insert);
    }

    void field(std::string_view name, const std::string& text) {
        if (name == "id" && prefix_.empty() && outermost_) {
            path_ = text;
        }
        bind(*row_, column_++, text);
    }
    void field(std::string_view, double number) { bind(*row_, column_++, number); }
    void field(std::string_view, bool yes) {
        failed = failed || sqlite3_bind_int(row_->get(), column_++, yes ? 1 : 0) != SQLITE_OK;
    }
    void field(std::string_view, Place place) { bind(*row_, column_++, id_of(place)); }
    void field(std::string_view, PumpState state) { bind(*row_, column_++, id_of(state)); }
    void field(std::string_view, Mark mark) { bind(*row_, column_++, id_of(mark)); }
    void field(std::string_view, Moves moves) { bind(*row_, column_++, id_of(moves)); }

    template <class Value>
    void list(std::string_view name, const std::vector<Value>& values) {
        const std::string full_name = prefix_ + std::string(name);
        for (std::size_t i = 0; i < values.size(); ++i) {
            bind(insert_list_, 1, table_);
            bind(insert_list_, 2, path_);
            bind(insert_list_, 3, full_name);
            bind(insert_list_, 4, i);
            bind(insert_list_, 5, values[i]);
            step(insert_list_);
        }
    }

    template <class Thing>
    void rows(std::string_view table, const std::vector<Thing>& things) {
        std::string sql = "INSERT INTO " + std::string(table) + " VALUES (?, ?";
        for (std::size_t i = 0; i < pack_table(table).columns.size(); ++i) {
            sql += ", ?";
        }
        const Statement insert = prepare(database_, sql + ")");
        // The row being filled waits while the rows that belong to it are written.
        const Statement* const outer_row = std::exchange(row_, &insert);
        const int outer_column = column_;
        const bool outer_outermost = std::exchange(outermost_, outer_row == nullptr);
        const std::string owner = path_;
        const std::string outer_table = std::exchange(table_, std::string(table));
        const std::string outer_prefix = std::exchange(prefix_, {});
        for (std::size_t i = 0; i < things.size(); ++i) {
            path_ = owner + "." + std::to_string(i);
            bind(insert, 1, owner);
            bind(insert, 2, i);
            column_ = 3;
            pack_shape::shape(*this, things[i]);
            step(insert);
        }
        row_ = outer_row;
        column_ = outer_column;
        outermost_ = outer_outermost;
        path_ = owner;
        table_ = outer_table;
        prefix_ = outer_prefix;
    }
    template <class Thing>
    void inside(std::string_view prefix, const Thing& thing) {
        const std::string outer = prefix_;
        prefix_ += prefix;
        pack_shape::shape(*this, thing);
        prefix_ = outer;
    }

    bool failed = false;

private:
    void bind(const Statement& statement, int column, std::string_view text) {
        // By copy: the text of a field need not outlive the walk to the next one.
        failed = failed || sqlite3_bind_text64(statement.get(), column, text.data(), text.size(),
                                               SQLITE_TRANSIENT, SQLITE_UTF8) != SQLITE_OK;
    }
    void bind(const Statement& statement, int column, double number) {
        failed = failed || sqlite3_bind_double(statement.get(), column, number) != SQLITE_OK;
    }
    void bind(const Statement& statement, int column, std::size_t position) {
        failed = failed || sqlite3_bind_int64(statement.get(), column,
                                              static_cast<sqlite3_int64>(position)) != SQLITE_OK;
    }
    void step(const Statement& statement) {
        failed = failed || sqlite3_step(statement.get()) != SQLITE_DONE ||
                 sqlite3_reset(statement.get()) != SQLITE_OK;
    }

    sqlite3* database_;
    Statement insert_list_;
    const Statement* row_ = nullptr;
    int column_ = 1;
    bool outermost_ = false;
    std::string path_, table_, prefix_;
};

} // namespace

Result<std::vector<std::byte>> write_pack(const Pack& pack) {
    if (std::optional<Problem> problem = unsound(pack)) {
        return *std::move(problem);
    }
    const Problem no_memory{"pack", "The pack file could not be put together in memory.",
                            "Close other programs and try again."};
    const Database database = open_in_memory();
    if (!database) {
        return no_memory;
    }
    {
        // Everything that decides the bytes is stated; nothing comes from the machine or the clock.
        Writer setup(database.get());
        setup.run("PRAGMA page_size = 4096");
        setup.run("PRAGMA encoding = 'UTF-8'");
        setup.run("PRAGMA secure_delete = ON");
        setup.run("PRAGMA application_id = " + std::to_string(pack_application_id));
        setup.run("PRAGMA user_version = " + std::to_string(pack_schema));
        setup.run("BEGIN");
        for (const std::string& sql : pack_schema_statements()) {
            setup.run(sql);
        }
        Writer writer(database.get());
        writer.meta("version", pack.version);
        writer.meta("issued", pack.issued);
        writer.meta("hash", content_hash(pack));
        pack_shape::shape(writer, pack);
        writer.run("COMMIT");
        if (setup.failed || writer.failed) {
            return no_memory;
        }
    }
    sqlite3_int64 size = 0;
    const std::unique_ptr<unsigned char, decltype(&sqlite3_free)> image(
        sqlite3_serialize(database.get(), "main", &size, 0), &sqlite3_free);
    if (!image) {
        return no_memory;
    }
    std::vector<std::byte> bytes(static_cast<std::size_t>(size));
    std::memcpy(bytes.data(), image.get(), bytes.size());
    return bytes;
}

} // namespace beckhand
