// The second folder: a copy of each finished visit, on another card or stick if the person wants. A copy is
// whole or it is not there; the log never waits for one and is never harmed by one that fails.
#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "engine/problem.h"
#include "engine/records/store.h"

namespace beckhand {

/// Makes the copy of a visit: the bytes of the file.
using MakeCopy = std::function<Result<std::vector<std::uint8_t>>(const std::string& visit_id)>;

/// Writes a file that is there whole or not at all, also after a power cut: beside it first, synced, read
/// back, then renamed, and the folder synced. "How To Corrupt An SQLite Database File" names sticks that lie
/// about syncs; against those only the reading back helps a little.
[[nodiscard]] Outcome write_whole(const std::string& file, std::span<const std::uint8_t> bytes, int rights = 0644);
/// The bytes of a file of at most `most`.
[[nodiscard]] Result<std::vector<std::uint8_t>> read_whole(const std::string& file, std::size_t most);

class SecondFolder {
public:
    SecondFolder(std::string folder, MakeCopy make) : folder_(std::move(folder)), make_(std::move(make)) {}

    /// All copies in a folder, by name.
    [[nodiscard]] static std::vector<std::string> files_in(const std::string& folder);
    /// The file of a visit's copy.
    [[nodiscard]] std::string file_of(const std::string& visit_id) const;
    /// Copies a visit; for Store::on_closed.
    [[nodiscard]] Outcome copy(const std::string& visit_id) const;
    /// Finished visits without a copy as new as they are: a card that was out for a while.
    [[nodiscard]] std::vector<std::string> behind(const std::vector<VisitRow>& visits) const;
    /// Copies all that are behind; stops at the first that fails.
    [[nodiscard]] Outcome catch_up(const std::vector<VisitRow>& visits) const;

private:
    std::string folder_;
    MakeCopy make_;
};

} // namespace beckhand
