// The log: sites and visits in one SQLite file. An event counts as saved only when its commit is back.
// One connection, WAL, full sync, exclusive lock: a second copy of the program is told so in a sentence.
//
// commit() answers by a completion, because a browser's storage can only do that; on the desktop the
// completion is called before commit() returns.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/diagnosis/visit.h"
#include "engine/problem.h"

namespace beckhand {

inline constexpr std::int32_t log_application_id = 0x42484c47; // "BHLG"
inline constexpr std::int32_t log_schema = 1;

struct SiteRow { std::string id; Site site; };

/// One line of the log: what a list of visits shows without folding each of them.
struct VisitRow {
    std::string id, site_id, site_name;
    Instant opened_at;
    Instant last_at;
    int events = 0;
    std::optional<Closing> closed;
    std::string headline;   // complaint or finding, as last saved by the app
};

class Store {
public:
    using Completion = std::function<void(Outcome)>;

    /// Opens or creates the log at `path` (":memory:" for a log that is not kept).
    [[nodiscard]] static Result<Store> open(const std::string& path);
    Store(Store&&) noexcept;
    Store& operator=(Store&&) noexcept;
    ~Store();

    /// Adds or changes a site. The id is chosen by the caller (see new_id) before the write.
    void save_site(const SiteRow& site, Instant at, const Completion& done);
    /// Appends one event to a visit. Repeating the same (visit, number, content) is not an error and does
    /// not double it; another content under a number that is taken is refused.
    void commit(const std::string& visit_id, const Event& event, const std::string& headline,
                const Completion& done);

    [[nodiscard]] Result<std::vector<SiteRow>> sites() const;
    [[nodiscard]] Result<std::vector<VisitRow>> visits(const std::string& site_id = {}) const; // newest first
    [[nodiscard]] Result<std::vector<Event>> events(const std::string& visit_id) const;
    /// The visit that was left open last, if any: where the program goes on.
    [[nodiscard]] Result<std::optional<std::string>> open_visit() const;

    /// Small values the program keeps between starts (units, theme, who is at work).
    void save_setting(const std::string& key, const std::string& value, const Completion& done);
    [[nodiscard]] Result<std::optional<std::string>> setting(const std::string& key) const;

private:
    struct Inside;
    explicit Store(std::unique_ptr<Inside> inside);
    std::unique_ptr<Inside> inside_;
};

/// A new id of 32 hex digits from 16 random bytes that the platform supplies.
[[nodiscard]] std::string new_id(std::span<const std::uint8_t, 16> random);

} // namespace beckhand
