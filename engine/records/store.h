// The log: sites and visits in one SQLite file. An event counts as saved only when its commit is back.
// One connection, WAL, full sync, exclusive lock: a second copy of the program is told so in a sentence.
// LOG.md says how the file is laid out, why it is set up so, and what each trouble says.
//
// commit() answers by a completion, because a browser's storage can only do that; on the desktop the
// completion is called before commit() returns.
#pragma once

#include <array>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "engine/diagnosis/visit.h"
#include "engine/problem.h"
#include "engine/records/chain.h"

namespace beckhand {

inline constexpr std::int32_t log_application_id = 0x42484c47; // "BHLG"
inline constexpr std::int32_t log_schema = 2;

/// A field of which more than one value holds, as parts of a site's JSON.
struct SiteDifference { std::string field; std::vector<std::string> values; };

/// All sheets of a site together: the figures that are counted with.
struct SiteRow {
    std::string id;
    Site site;
    std::vector<SiteDifference> differences = {};
};

/// One line of the log: what a list of visits shows without folding each of them. A visit that two people went
/// on with has a line for each branch; its id is the visit's, then "~" and the branch's.
struct VisitRow {
    std::string id, site_id, site_name;
    Instant opened_at;
    Instant last_at;
    int events = 0;
    std::optional<Closing> closed;
    std::string headline;   // complaint or finding, as last saved by the app
    int branches = 1;       // of the visit
    bool doubtful_times = false; // the device's clock was set back before or within the visit, or never set
};

/// A device that wrote entries of this log. `own`: this log itself, now or under an earlier id.
struct Device {
    std::string id;
    std::int64_t entries = 0, last_number = 0;
    bool own = false;
};

/// What became of entries from elsewhere.
struct Arrived {
    int added = 0, already_there = 0;
    int disputed = 0;       // of those added: their device gave the number to another entry too. Both are kept
    int erased = 0;         // entries here that lost a name or words by it
};

/// A repair that was proved at a visit of this log, and not taken back. A cause counts once for a visit, however
/// many branches the visit has; that nothing is wrong is proved and counted in the same way.
struct ProvedRepair {
    std::string visit_id, site_id, cause;
    Instant at;             // of the first verdict
};

/// What `check` found.
struct LogCheck {
    std::int64_t entries = 0;
    int devices = 0;
    int disputed = 0;                   // numbers that a device gave to more than one entry: it was copied
    std::vector<std::string> broken;    // each place that is not as it was saved, in words, first ones first
    bool lists_differed = false;        // what lists show was not what the entries say; it is now
};

class Store {
public:
    using Completion = std::function<void(Outcome)>;
    using Random = std::function<std::array<std::uint8_t, 16>()>;

    /// Opens or creates the log at `path` (":memory:" for a log that is not kept). A damaged log is kept
    /// aside and what can be read of it goes on; notice() then says so. `random` gives the log its device id;
    /// without one it is drawn by SQLite from the platform's own source.
    [[nodiscard]] static Result<Store> open(const std::string& path, Random random = {});
    Store(Store&&) noexcept;
    Store& operator=(Store&&) noexcept;
    ~Store();

    /// Adds or changes a site. The id is chosen by the caller (see new_id) before the write. Saving what is
    /// saved already is not an error and adds nothing.
    void save_site(const SiteRow& site, Instant at, const Completion& done, const std::string& by = {});
    /// Appends one event to a visit or to the branch of one that a row of the lists shows. Repeating the same (visit, number, content) is not an error and does
    /// not double it; another content under a number that is taken is refused.
    void commit(const std::string& visit_id, const Event& event, const std::string& headline,
                const Completion& done);

    [[nodiscard]] Result<std::vector<SiteRow>> sites() const;
    /// Newest first; within a device in the order of saving, whatever its clock said.
    [[nodiscard]] Result<std::vector<VisitRow>> visits(const std::string& site_id = {}) const;
    /// A visit's events by their numbers. An event that damage has changed is left out, and notice() says so.
    [[nodiscard]] Result<std::vector<Event>> events(const std::string& visit_id) const;
    /// The visit that was left open last on this device, if any: where the program goes on.
    [[nodiscard]] Result<std::optional<std::string>> open_visit() const;

    /// Latest first; the same list in every log that holds the same entries. One pass over the verdicts: of
    /// 10,000 visits with 5,000 of them 53 ms, with 10,000 of them 75 ms.
    [[nodiscard]] Result<std::vector<ProvedRepair>> proved_repairs() const;

    /// Small values the program keeps between starts (units, theme, who is at work).
    void save_setting(const std::string& key, const std::string& value, const Completion& done);
    [[nodiscard]] Result<std::optional<std::string>> setting(const std::string& key) const;

    // --- between devices ---

    /// The sound entries of a visit or of a site's sheet, or of the whole log; by device and number.
    [[nodiscard]] Result<std::vector<LogEntry>> entries(const std::string& subject = {}) const;
    /// Those of a site's sheet and of all its visits; as for a visit, with every wish to be erased.
    [[nodiscard]] Result<std::vector<LogEntry>> entries_of_site(const std::string& site_id) const;
    /// Those of a visit with all its branches, and of its site's sheet: enough to be read anywhere.
    [[nodiscard]] Result<std::vector<LogEntry>> entries_of_visit(const std::string& visit_id) const;
    [[nodiscard]] Result<std::vector<Device>> devices() const;
    /// Id under which this log writes.
    [[nodiscard]] Result<std::string> device() const;
    /// Takes in entries of other devices, or of this one from a copy: all of them or, with a Problem, none.
    /// What is there already is left as it is, but for what was erased in it. Each must have its own hash. When
    /// this device turns out to have been copied, it writes on under a new id.
    [[nodiscard]] Result<Arrived> take_in(std::span<const LogEntry> entries);
    /// Erases a person: the name on every entry, the words of their notes, notes of others that hold the name as
    /// a word, and sheets of sites that do, each site's with a new sheet in their place; and leaves the wish,
    /// which travels. All or nothing; no old page keeps the name. What stays: places_left in erasing.h.
    [[nodiscard]] Result<Arrived> erase_person(const std::string& name, Instant at);
    /// Writes all that this log holds into the log at `path`, which goes on in its place: for one that could
    /// only be kept in memory, and only once.
    [[nodiscard]] Outcome save_to(const std::string& path) const;

    /// Goes through every entry and its hash, and computes what lists show anew.
    [[nodiscard]] Result<LogCheck> check();

    /// What the person must be told that is no failure of what they just did: a damaged log put aside, the
    /// reserve used. Each is handed out once.
    [[nodiscard]] std::optional<Problem> notice();
    /// For the platform, when it has something of that sort to say.
    void put_notice(Problem notice);
    /// For a platform whose storage answers later. After each save that the log itself has taken, `keep` is given what
    /// to call once it is on the storage, or could not be put there; only then do the completions above answer.
    void on_written(std::function<void(Completion)> keep);
    /// Closes the file; it is opened and read anew at the next use. For that platform, before it takes back what could
    /// not be kept.
    void let_go();
    /// Called with the visit's id each time one has been closed and its log is on the disk.
    void on_closed(std::function<void(const std::string& visit_id)> call);

private:
    struct Inside;
    explicit Store(std::unique_ptr<Inside> inside);
    std::unique_ptr<Inside> inside_;
};

/// A new id of 32 hex digits from 16 random bytes that the platform supplies.
[[nodiscard]] std::string new_id(std::span<const std::uint8_t, 16> random);

} // namespace beckhand
