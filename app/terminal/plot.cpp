#include "app/terminal/plot.h"

#include <cmath>

#include "engine/quantity/text.h"

namespace beckhand {
namespace {

std::string number(double dots) {
    return fixed_text(dots, 1);
}

std::string escaped(const std::string& words) {
    std::string out;
    for (const char c : words) {
        switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        default:
            out += c;
        }
    }
    return out;
}

std::string hex(PlotColour c) {
    constexpr char digits[] = "0123456789abcdef";
    std::string text = "#";
    for (const unsigned part : {unsigned{c.r}, unsigned{c.g}, unsigned{c.b}}) {
        text += digits[part / 16];
        text += digits[part % 16];
    }
    return text;
}

std::string listed(const std::vector<PlotPoint>& points) {
    std::string text;
    for (const PlotPoint& p : points)
        text += (text.empty() ? "" : " ") + number(p.x) + "," + number(p.y);
    return text;
}

std::string element(const PlotLine& line) {
    const std::string pen = "stroke=\"" + hex(line.colour) + "\" stroke-width=\"" + number(line.width) +
                            "\"" + (line.dashed ? " stroke-dasharray=\"6 4\"" : "");
    if (line.points.size() == 2) {
        const PlotPoint a = line.points[0], b = line.points[1];
        return "<line x1=\"" + number(a.x) + "\" y1=\"" + number(a.y) + "\" x2=\"" + number(b.x) +
               "\" y2=\"" + number(b.y) + "\" " + pen + "/>\n";
    }
    return "<polyline fill=\"none\" " + pen + " points=\"" + listed(line.points) + "\"/>\n";
}

std::string element(const PlotArea& area) {
    return "<polygon fill=\"" + hex(area.colour) + "\" points=\"" + listed(area.corners) + "\"/>\n";
}

std::string element(const PlotSpot& spot) {
    const double r = spot.size / 2, x = spot.at.x, y = spot.at.y;
    const std::string pen = " stroke=\"" + hex(spot.colour) + "\" stroke-width=\"1.6\" fill=\"" +
                            (spot.hollow ? std::string("#ffffff") : hex(spot.colour)) + "\"/>\n";
    switch (spot.sign) {
    case PlotSign::disc:
        return "<circle cx=\"" + number(x) + "\" cy=\"" + number(y) + "\" r=\"" + number(r) + "\"" + pen;
    case PlotSign::square:
        return "<polygon points=\"" +
               listed({{x - r, y - r}, {x + r, y - r}, {x + r, y + r}, {x - r, y + r}}) + "\"" + pen;
    case PlotSign::triangle:
        return "<polygon points=\"" + listed({{x, y - r}, {x + r, y + r}, {x - r, y + r}}) + "\"" + pen;
    case PlotSign::cross:
        break;
    }
    return "<path d=\"M" + number(x - r) + " " + number(y - r) + "L" + number(x + r) + " " + number(y + r) +
           "M" + number(x - r) + " " + number(y + r) + "L" + number(x + r) + " " + number(y - r) + "\"" + pen;
}

std::string element(const PlotWords& words) {
    constexpr const char* anchors[] = {"start", "middle", "end"};
    return "<text x=\"" + number(words.at.x) + "\" y=\"" + number(words.at.y) + "\" text-anchor=\"" +
           anchors[static_cast<int>(words.anchor)] + "\" font-size=\"" + number(words.size) + "\" fill=\"" +
           hex(words.colour) + "\"" + (words.bold ? " font-weight=\"bold\"" : "") + ">" +
           escaped(words.words) + "</text>\n";
}

} // namespace

std::string svg_of(const Plot& plot) {
    std::string svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"" +
                      number(plot.width) + "\" height=\"" + number(plot.height) + "\" viewBox=\"0 0 " +
                      number(plot.width) + " " + number(plot.height) +
                      "\" font-family=\"sans-serif\">\n<title>" + escaped(plot.title) +
                      "</title>\n<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n";
    for (const PlotMark& mark : plot.marks)
        svg += std::visit([](const auto& m) { return element(m); }, mark);
    return svg + "</svg>\n";
}

} // namespace beckhand
