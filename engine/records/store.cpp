// Opening, and what is written when something is saved. Every save is one transaction of its own; the rows
// that lists show are written in the same one as the entry they follow from.
#include "engine/records/store.h"

#include <algorithm>
#include <array>
#include <utility>

#include "engine/records/event_json.h"
#include "engine/records/rescue.h"
#include "engine/records/schema.h"
#include "engine/records/sheets.h"
#include "engine/records/store_inside.h"
#include "engine/utf8.h"

namespace beckhand {

using log_file::Query;
using log_file::Refused;

std::string Store::Inside::new_device() const {
    if (random)
        return new_id(random());
    std::array<std::uint8_t, 16> bytes{};
    sqlite3_randomness(static_cast<int>(bytes.size()), bytes.data());
    return new_id(bytes);
}

Outcome Store::Inside::connect_or_rescue() {
    const auto make_device = [this] { return new_device(); };
    if (!in_memory())
        log_file::finish_rescue(path);
    Refused why{};
    Result<log_file::Connection> opened = log_file::connect(path, make_device, look_thoroughly, why);
    if (!opened && why == Refused::damaged && !in_memory()) {
        const Result<log_file::Rescued> rescued = log_file::rescue(path, make_device);
        if (!rescued)
            return rescued.error();
        opened = log_file::connect(path, make_device, true, why);
        const std::string lost = rescued->missing > 0
                                     ? std::to_string(rescued->missing) + " of its entries could not be read"
                                     : "what was saved last may be missing";
        notice = Problem{path,
                         "The log was damaged. " + std::to_string(rescued->kept) +
                             " entries were read and are here; " + lost + ". The damaged file is kept as \"" +
                             rescued->aside + "\".",
                         "Look through the visits in progress; take missing ones in from their copies."};
    }
    if (!opened)
        return opened.error();
    connection = std::move(*opened);
    look_thoroughly = false;
    return Done{};
}

Outcome Store::Inside::ready() {
    if (connection)
        return Done{};
    if (const Outcome o = connect_or_rescue(); !o)
        return o;
    Query own(connection.get(), "SELECT device FROM own ORDER BY rank DESC LIMIT 1");
    device = own.row() ? own.text(0) : std::string();
    if (own.failed())
        return fail(own.code());
    if (device.empty()) {
        device = new_device();
        if (const int code = log_file::begin_stream(connection.get(), device); code != SQLITE_OK)
            return fail(code);
    }
    return Done{};
}

namespace {

Problem not_text(const std::string& where) {
    return {where, "Some text here is not valid UTF-8.", "Type it again; do not paste it."};
}

Problem too_little_memory(const std::string& path) {
    return log_file::problem_of(SQLITE_NOMEM, path);
}

enum class Held { no, same, other };

/// What the branch holds in this place, and what comes before it there.
Held held_in_place(const std::vector<LogEntry>& branch, LogEntry& entry) {
    Held held = Held::no;
    for (const LogEntry& kept : branch) {
        if (kept.place < entry.place)
            entry.after = {kept.hash};
        if (kept.place != entry.place || held == Held::same)
            continue;
        const bool same = kept.at == entry.at && kept.by == entry.by && kept.json == entry.json;
        held = same ? Held::same : Held::other;
    }
    return held;
}

/// `visit`: a visit, or the branch of one.
int append_event(sqlite3* connection, const std::string& device, const std::string& visit, LogEntry& entry,
                 bool opens, const std::string& path, std::optional<Problem>& refused) {
    std::vector<LogEntry> branch;
    const int code = log_file::branch_entries(connection, visit, branch);
    if (code != SQLITE_OK)
        return code;
    const Held held = held_in_place(branch, entry);
    const bool opened = !branch.empty() && branch.front().kind == "opened";
    for (const LogEntry& kept : branch) { // one secret a person and visit: what a hand-over carries stays small
        if (kept.device == device && kept.by == entry.by && !kept.by_secret.empty())
            entry.by_secret = kept.by_secret;
    }
    if (held == Held::same)
        return SQLITE_OK;
    if (held == Held::other) {
        refused = Problem{path,
                          "Another answer is already saved in this place of the visit (event " +
                              std::to_string(entry.place) + ").",
                          "Close the visit and open it again from the log; nothing was overwritten."};
        return SQLITE_OK;
    }
    if (!opens && !opened) {
        refused = Problem{path, "This visit was never opened, so nothing can be added to it.",
                          "Start a new visit."};
        return SQLITE_OK;
    }
    return log_file::append_entry(connection, device, entry);
}

void answer(const Store::Completion& done, Outcome outcome) {
    if (done)
        done(std::move(outcome));
}

/// What must be right about an event before the log is touched.
Outcome check_event(const std::string& visit_id, const Event& event, const std::string& headline) {
    if (visit_id.empty() || !is_utf8(visit_id))
        return not_text("visit id");
    if (!is_utf8(event.by))
        return not_text("name of the person");
    if (!is_utf8(headline))
        return not_text("headline");
    if (event.number < 1)
        return Problem{"visit", "Events are numbered from 1.", ""};
    return Done{};
}

} // namespace

Store::Store(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Store::Store(Store&&) noexcept = default;
Store& Store::operator=(Store&&) noexcept = default;
Store::~Store() = default;

Result<Store> Store::open(const std::string& path, Random random) {
    try {
        auto inside = std::make_unique<Inside>();
        inside->path = path;
        inside->random = std::move(random);
        if (const Outcome o = inside->ready(); !o)
            return o.error();
        // Not each time the file is opened anew: the reserve may just have been given back.
        if (!inside->in_memory())
            log_file::keep_reserve(path);
        return Store(std::move(inside));
    } catch (const std::bad_alloc&) {
        return too_little_memory(path);
    }
}

void Store::save_site(const SiteRow& site, Instant at, const Completion& done, const std::string& by) {
    const Result<std::string> json = kept_json(site.site);
    if (!json)
        return answer(done, json.error());
    if (site.id.empty() || !is_utf8(site.id))
        return answer(done, not_text("site id"));
    if (!is_utf8(by))
        return answer(done, not_text("name of the person"));
    inside_->settle(done, inside_->transaction([&](sqlite3* connection, std::optional<Problem>&) {
        LogEntry entry;
        entry.subject = site.id;
        std::string present;
        const int code = log_file::present_sheet(connection, entry, present);
        if (code != SQLITE_OK || present == *json)
            return code;
        entry.at = at;
        entry.by = by;
        entry.kind = site_sheet_kind;
        entry.json = *json;
        inside_->draw_secrets(entry);
        return log_file::append_entry(connection, inside_->device, entry);
    }));
}

void Store::commit(const std::string& visit_id, const Event& event, const std::string& headline,
                   const Completion& done) {
    const bool closes = std::holds_alternative<Closed>(event.what);
    Outcome saved = Problem{};
    try {
        const Result<std::string> json = kept_json(event.what);
        const Outcome fine = check_event(visit_id, event, headline);
        saved = !json ? Outcome(json.error()) : !fine ? fine : inside_->transaction([&](sqlite3* connection, std::optional<Problem>& refused) {
            LogEntry entry;
            entry.subject = log_file::subject_of(visit_id);
            entry.place = event.number;
            entry.at = event.at;
            entry.by = event.by;
            entry.kind = kind_of(event.what);
            entry.headline = headline;
            entry.json = *json;
            inside_->draw_secrets(entry);
            const bool opens = std::holds_alternative<Opened>(event.what);
            return append_event(connection, inside_->device, visit_id, entry, opens, inside_->path, refused);
        });
    } catch (const std::bad_alloc&) {
        saved = too_little_memory(inside_->path);
    }
    if (saved && closes) {
        inside_->checkpoint();
        if (!inside_->in_memory())
            log_file::keep_reserve(inside_->path);
        if (inside_->closed_call)
            inside_->closed_call(visit_id);
    }
    inside_->settle(done, std::move(saved));
}

void Store::save_setting(const std::string& key, const std::string& value, const Completion& done) {
    if (!is_utf8(key) || !is_utf8(value))
        return answer(done, not_text("setting"));
    inside_->settle(done, inside_->transaction([&](sqlite3* connection, std::optional<Problem>&) {
        Query query(connection,
                    "INSERT INTO setting VALUES(?1,?2) ON CONFLICT(key) DO UPDATE SET value=excluded.value");
        return query.bind(1, key).bind(2, value).run();
    }));
}

std::optional<Problem> Store::notice() {
    return std::exchange(inside_->notice, std::nullopt);
}

void Store::put_notice(Problem notice) {
    inside_->notice = std::move(notice);
}

void Store::on_written(std::function<void(Completion)> keep) {
    inside_->keep = std::move(keep);
}

void Store::let_go() {
    inside_->connection.reset();
}

void Store::on_closed(std::function<void(const std::string& visit_id)> call) {
    inside_->closed_call = std::move(call);
}

std::string new_id(std::span<const std::uint8_t, 16> random) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string id;
    for (const std::uint8_t byte : random) {
        id += digits[byte >> 4];
        id += digits[byte & 15];
    }
    return id;
}

} // namespace beckhand
