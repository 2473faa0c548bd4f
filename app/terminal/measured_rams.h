// Measured rams against the virtual pump: a file of machines with what people measured on them, each row run
// and compared, as a table of words and as a plot of measured against computed.
//
//     [bands]      flow, efficiency, beats, head: how far off still counts as met, 0.2 = a fifth; why
//     [[machine]]  name, source, fitted (a parameter), fitted_words, judged, site = {...}, parts = {...}
//     [[machine.row]]  name, site = {...}, parts = {...}, measured = { beats_per_min = 100, ... }, seconds
// site has the keys of a site file, parts the names of the virtual pump's parameters in SI.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "app/terminal/plot.h"
#include "engine/pump/pump.h"

namespace beckhand {

enum class BandKind { flow, efficiency, beats, head };

struct RamFigure {
    std::string words; // "lifted, m3/h"
    BandKind kind = BandKind::flow;
    double measured = 0;
    double in_plot = 1; // times this: l/min, beats a minute, a share, metres
    double (*computed)(const PumpRun&, const PumpDesign&) = nullptr; // in the same unit
};

struct MeasuredRow {
    std::string name;
    PumpDesign design;
    RunOptions options;
    std::vector<RamFigure> figures;
};

struct MeasuredMachine {
    std::string name, source, fitted, fitted_words, judged;
    std::vector<MeasuredRow> rows;
};

struct MeasuredRams {
    std::map<BandKind, double> bands; // all four
    std::string why;
    std::vector<MeasuredMachine> machines;
};

/// `name` is the file's, for messages. Problem for a wrong line, an unknown key or part, an impossible site.
[[nodiscard]] Result<MeasuredRams> read_measured_rams(const std::string& text, const std::string& name);

struct ComparedFigure {
    std::string machine, row, words;
    BandKind kind = BandKind::flow;
    double measured = 0, computed = 0, in_plot = 1;
    bool in_band = false;
    [[nodiscard]] double ratio() const { return computed / measured; }
};

/// Runs every row, one after the other.
[[nodiscard]] std::vector<ComparedFigure> compare(const MeasuredRams& rams);

[[nodiscard]] std::string compared_text(const MeasuredRams& rams, const std::vector<ComparedFigure>& figures);

/// Computed against measured on logarithmic axes, a pane for each kind of figure, with the line on which both
/// agree and the band about it. What is off the pane stands on its edge.
[[nodiscard]] Plot compared_plot(const MeasuredRams& rams, const std::vector<ComparedFigure>& figures);

} // namespace beckhand
