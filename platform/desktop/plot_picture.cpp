#include "platform/desktop/plot_picture.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>
#include <memory>
#include <span>
#include <utility>

#include <imgui.h>

#include "knowledge/compiler/compile.h"
#include "platform/desktop/embedded.h"
#include "platform/desktop/picture.h"

namespace beckhand {
namespace {

constexpr float dots = 2; // for each of the plot's
constexpr ImWchar signs[] = {0x20, 0xFF, 0x2013, 0x2014, 0x2018, 0x201E, 0};

struct FreeContext {
    void operator()(ImGuiContext* context) const { ImGui::DestroyContext(context); }
};
using Letters = std::map<std::pair<double, bool>, ImFont*>; // by size and weight

ImU32 paint(PlotColour c) {
    return IM_COL32(c.r, c.g, c.b, 255);
}
ImVec2 place(PlotPoint p) {
    return {static_cast<float>(p.x) * dots, static_cast<float>(p.y) * dots};
}

Letters load_letters(const Plot& plot) {
    ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
    atlas.Flags = ImFontAtlasFlags_NoMouseCursors;
    Letters letters;
    for (const PlotMark& mark : plot.marks) {
        const PlotWords* words = std::get_if<PlotWords>(&mark);
        if (words == nullptr || letters.count({words->size, words->bold}) != 0)
            continue;
        const auto bytes = words->bold ? embedded_bold() : embedded_regular();
        ImFontConfig config;
        config.FontDataOwnedByAtlas = false;
        // The atlas does not write to bytes that it does not own; its interface is older than const. A line
        // of this face is 1.18 times as high as its letters' size.
        letters[{words->size, words->bold}] =
            atlas.AddFontFromMemoryTTF(const_cast<std::byte*>(bytes.data()), static_cast<int>(bytes.size()),
                                       static_cast<float>(words->size) * dots * 1.18f, &config, signs);
    }
    if (letters.empty())
        atlas.AddFontDefault();
    atlas.Build();
    return letters;
}

struct Pen {
    ImDrawList& ink;
    const Letters& letters;

    void operator()(const PlotLine& line) const {
        const float width = static_cast<float>(line.width) * dots;
        std::vector<ImVec2> points;
        for (const PlotPoint p : line.points)
            points.push_back(place(p));
        if (!line.dashed) {
            ink.AddPolyline(points.data(), static_cast<int>(points.size()), paint(line.colour), 0, width);
            return;
        }
        for (std::size_t i = 0; i + 1 < points.size(); ++i) {
            const float dx = points[i + 1].x - points[i].x, dy = points[i + 1].y - points[i].y;
            const float length = std::hypot(dx, dy);
            for (float from = 0; from < length; from += 10 * dots) {
                const float to = std::min(length, from + 6 * dots);
                ink.AddLine({points[i].x + dx * from / length, points[i].y + dy * from / length},
                            {points[i].x + dx * to / length, points[i].y + dy * to / length},
                            paint(line.colour), width);
            }
        }
    }
    void operator()(const PlotArea& area) const {
        std::vector<ImVec2> corners;
        for (const PlotPoint p : area.corners)
            corners.push_back(place(p));
        ink.AddConvexPolyFilled(corners.data(), static_cast<int>(corners.size()), paint(area.colour));
    }
    void operator()(const PlotSpot& spot) const {
        const ImVec2 c = place(spot.at);
        const float r = static_cast<float>(spot.size) / 2 * dots, edge = 1.6f * dots;
        const ImU32 colour = paint(spot.colour), fill = spot.hollow ? IM_COL32_WHITE : colour;
        switch (spot.sign) {
        case PlotSign::disc:
            ink.AddCircleFilled(c, r, fill, 24);
            ink.AddCircle(c, r, colour, 24, edge);
            return;
        case PlotSign::square:
            ink.AddRectFilled({c.x - r, c.y - r}, {c.x + r, c.y + r}, fill);
            ink.AddRect({c.x - r, c.y - r}, {c.x + r, c.y + r}, colour, 0, 0, edge);
            return;
        case PlotSign::triangle:
            ink.AddTriangleFilled({c.x, c.y - r}, {c.x + r, c.y + r}, {c.x - r, c.y + r}, fill);
            ink.AddTriangle({c.x, c.y - r}, {c.x + r, c.y + r}, {c.x - r, c.y + r}, colour, edge);
            return;
        case PlotSign::cross:
            ink.AddLine({c.x - r, c.y - r}, {c.x + r, c.y + r}, colour, edge);
            ink.AddLine({c.x - r, c.y + r}, {c.x + r, c.y - r}, colour, edge);
            return;
        }
    }
    void operator()(const PlotWords& words) const {
        ImFont* const font = letters.at({words.size, words.bold});
        const char* const begin = words.words.data();
        const char* const end = begin + words.words.size();
        const float width = font->CalcTextSizeA(font->FontSize, 1e9f, 0, begin, end).x;
        const float back = words.anchor == PlotAnchor::start    ? 0
                           : words.anchor == PlotAnchor::middle ? 0.5f
                                                                : 1.0f;
        const ImVec2 at = place(words.at);
        ink.AddText(font, font->FontSize, {std::round(at.x - back * width), std::round(at.y - font->Ascent)},
                    paint(words.colour), begin, end);
    }
};

Outcome write_png(const Plot& plot, const std::string& path) {
    const std::unique_ptr<ImGuiContext, FreeContext> context(ImGui::CreateContext());
    ImGui::SetCurrentContext(context.get());
    ImGui::GetIO().IniFilename = nullptr;
    const Letters letters = load_letters(plot);
    const float width = static_cast<float>(plot.width) * dots,
                height = static_cast<float>(plot.height) * dots;
    ImGui::GetIO().DisplaySize = {width, height};
    ImGui::NewFrame();
    ImDrawList& ink = *ImGui::GetBackgroundDrawList();
    ink.AddRectFilled({0, 0}, {width, height}, IM_COL32_WHITE);
    for (const PlotMark& mark : plot.marks)
        std::visit(Pen{ink, letters}, mark);
    ImGui::Render();
    return paint_png(static_cast<int>(std::ceil(width)), static_cast<int>(std::ceil(height)), path);
}

} // namespace

Outcome write_plot(const Plot& plot, const std::string& path) {
    std::string ending = path.size() > 4 ? path.substr(path.size() - 4) : "";
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    if (ending == ".png")
        return write_png(plot, path);
    const std::string svg = svg_of(plot);
    const auto bytes = std::as_bytes(std::span(svg.data(), svg.size()));
    return write_file(path, {bytes.begin(), bytes.end()});
}

} // namespace beckhand
