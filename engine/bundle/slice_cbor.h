// A slice of the log as the inside of a bundle, and back. What is read has been checked entry by entry:
// lengths, text, order, and that each event and figure is one this program would have kept itself, or comes
// from a newer one and is passed on as it is.
//
//     [ "beckhand log", 1, [ device ... ], [ [ about, id, [ entry ... ] ] ... ] ]
//     entry: [ field or place, index of device or -1, number, at after the entry before (ms), [ after ... ],
//              by or its mark, salt of by, json or its mark, salt of json ]
//     after: how many entries back, or the name of one that is not in the slice
//
// Devices sorted; groups by about, then id; entries so that each comes behind those it follows, else by
// name. The names themselves do not travel: who receives computes them.
#pragma once

#include "engine/bundle/entry.h"
#include "engine/problem.h"

namespace beckhand::bundle {

/// Fails with a Problem when an entry is beyond the limits of entry.h.
[[nodiscard]] Result<Bytes> write_slice(const LogSlice& slice);

/// Fails with a Problem for anything that write_slice would not have written.
[[nodiscard]] Result<LogSlice> read_slice(ByteView inside);

/// What is wrong with an entry, or nothing.
[[nodiscard]] std::optional<Problem> entry_problem(const Entry& entry);

} // namespace beckhand::bundle
