// A visit read again: its events as plain lines with their times, for the window, the terminal and paper.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "app/figures.h"
#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"
#include "engine/quantity/text.h"
#include "engine/records/store.h"

namespace beckhand {

/// One event in words, without its time: "What covers the strainer? Matted over." What this pack does not
/// know any more is named by its id.
[[nodiscard]] std::string words_of(const Pack& pack, const Happening& what, Units units);

/// "the keeper", "a helper", "a newcomer".
[[nodiscard]] std::string name_of(Person person);

/// "Parts used: gasket sheet, 2 x bolts."; empty where none was.
[[nodiscard]] std::string parts_used_words(const Visit& visit);

/// A visit in a list: "Fixed: strainer matted over. Put right and proved". How it was closed alone, where it tells no more.
[[nodiscard]] std::string summary_of(const VisitRow& row);

/// Head line (day, site, pack), then one line an event: "10:21  What covers the strainer? Matted over.
/// (taken back)". Times are local ones; the head line says of which zone. Never empty for a visit that was
/// opened.
[[nodiscard]] std::vector<std::string> record_lines(const Pack& pack, std::span<const Event> events, Units units,
                                                    const MinutesAhead& ahead = {});

} // namespace beckhand
