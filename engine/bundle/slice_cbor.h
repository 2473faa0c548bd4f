// A slice of the log as the inside of a bundle, and back. What is read has been checked entry by entry:
// lengths, text, order, and that each event and sheet is one this program would have kept itself, or comes
// from a newer one and is passed on as it is.
//
//     [ "beckhand log", 1, [ device ... ], [ subject ... ], entries ]
//     entries: a column each, which packs to half of what rows do, of: device, number beyond the next one of its
//              device, subject, place, at after the entry before (ms), kind, headline, before it on its device,
//              [ after ... ], by or its mark, secret of by, json or its mark, secret of json
//     before and after: how many entries back, or the hash of one that is not in the slice; 0 for the first
//
// Devices and subjects sorted; entries so that each comes behind those it is chained to or follows, else by
// device, number and hash. The hashes themselves do not travel: who receives computes them.
#pragma once

#include "engine/bundle/entry.h"
#include "engine/problem.h"

namespace beckhand::bundle {

/// Fails with a Problem when an entry is beyond the limits of entry.h.
[[nodiscard]] Result<Bytes> write_slice(const LogSlice& slice);

/// Fails with a Problem for anything that write_slice would not have written.
[[nodiscard]] Result<LogSlice> read_slice(ByteView inside);

} // namespace beckhand::bundle
