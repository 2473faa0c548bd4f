// Draws the cross-section: ground, water, pipes, pump and tank first, then the lengths, then the mark on the
// part that is asked about. The pump is a sign of a fixed size; only the lines between are to proportion.
#include <algorithm>
#include <array>
#include <cmath>

#include "app/kit/drawing.h"
#include "app/kit/installation.h"
#include "app/kit/moving.h"

namespace beckhand::kit {

namespace {

struct PartName {
    std::string_view part, name;
};
constexpr std::array<PartName, 13> names = {{{"intake", "Intake"},
                                             {"drive_pipe", "Drive pipe"},
                                             {"fall", "Fall"},
                                             {"lift", "Lift"},
                                             {"waste_valve", "Waste valve"},
                                             {"check_valve", "Check valve"},
                                             {"air_vessel", "Air vessel"},
                                             {"snifter", "Snifter"},
                                             {"delivery", "Delivery pipe"},
                                             {"tank", "Tank"},
                                             {"body", "Pump body"},
                                             {"whole", ""},
                                             {"", ""}}};

/// From metres to the screen; along and up have scales of their own.
struct Place {
    const Section& section;
    float x, y, w, h;
    [[nodiscard]] ImVec2 at(Section::Point point) const {
        const double right = (point.x - section.left) / section.width;
        const double up = (point.y - section.bottom) / (section.top - section.bottom);
        return {x + w * static_cast<float>(right), y + h * (1.0f - static_cast<float>(up))};
    }
    [[nodiscard]] std::vector<ImVec2> all(const std::vector<Section::Point>& points) const {
        std::vector<ImVec2> placed;
        for (const Section::Point& point : points) {
            placed.push_back(at(point));
        }
        return placed;
    }
};

/// The pump as a sign: where its parts are on the screen.
struct PumpSign {
    ImVec2 inlet, outlet, valve, check, vessel;
    float bore, vessel_r, vessel_h;
};

PumpSign pump_sign(ImVec2 foot, float room) {
    PumpSign s;
    const float u = room / 13.0f;
    s.bore = 2.6f * u;
    s.inlet = foot;
    s.valve = {foot.x + 3.4f * u, foot.y - 1.6f * u};
    s.check = {foot.x + 9.0f * u, foot.y - 1.9f * u};
    s.vessel_r = 2.5f * u;
    s.vessel_h = 9.0f * u;
    s.vessel = {s.check.x, foot.y - 2.4f * u - s.vessel_h / 2.0f};
    s.outlet = {s.check.x + s.vessel_r, foot.y - 4.2f * u};
    return s;
}

void draw_pump_sign(const Pencil& p, const PumpSign& s, const BeatMoment& now) {
    const float u = s.bore / 2.6f, wall = p.mm(0.45f);
    const Colour steel = p.shade(p.palette.ink, "body"), water = p.shade(p.palette.water, "body");
    const ImVec2 body[] = {s.inlet, {s.check.x + 2.2f * u, s.inlet.y}};
    pencil_pipe(p, body, s.bore, steel, water);

    // Waste valve: a seat on the body, the disc hanging open below its stop, the stem above.
    const Colour valve = p.shade(p.palette.ink, "waste_valve");
    p.ink.AddRectFilled({s.valve.x - 1.9f * u, s.valve.y - 1.3f * u},
                        {s.valve.x + 1.9f * u, s.valve.y + 0.4f * u}, paint(valve));
    p.ink.AddRectFilled({s.valve.x - 1.1f * u, s.valve.y - 1.3f * u},
                        {s.valve.x + 1.1f * u, s.valve.y + 0.6f * u},
                        paint(p.shade(p.palette.water, "waste_valve")));
    const auto open = static_cast<float>(now.valve);
    const float stem = s.valve.y - 1.4f * u * (1.0f - open);
    p.ink.AddLine({s.valve.x, stem - 4.4f * u}, {s.valve.x, stem + 0.2f * u}, paint(valve),
                  std::max(p.mm(0.5f), 0.7f * u));
    p.ink.AddLine({s.valve.x - 1.1f * u, stem - 4.2f * u}, {s.valve.x + 1.1f * u, stem - 4.2f * u}, paint(valve),
                  std::max(p.mm(0.5f), 0.8f * u));
    for (const float side : {-1.0f, 1.0f}) { // what it spills
        if (open < 0.15f) {
            break;
        }
        const ImVec2 from{s.valve.x + side * 1.4f * u, s.valve.y - 1.5f * u};
        p.ink.AddBezierQuadratic(from, {from.x + side * 1.0f * u, from.y - 1.9f * u},
                                 {from.x + side * 1.9f * u, from.y + 1.0f * u},
                                 paint(p.shade(p.palette.water, "waste_valve")),
                                 std::max(p.mm(0.4f), 0.55f * u));
    }

    // Vessel: air above, water below, the check valve at its foot.
    const Colour vessel = p.shade(p.palette.ink, "air_vessel");
    const ImVec2 low{s.vessel.x - s.vessel_r, s.vessel.y - s.vessel_h / 2.0f},
        high{s.vessel.x + s.vessel_r, s.vessel.y + s.vessel_h / 2.0f};
    p.ink.AddRectFilled({low.x - wall, low.y - wall}, {high.x + wall, high.y + wall}, paint(vessel),
                        s.vessel_r + wall, ImDrawFlags_RoundCornersTop);
    p.ink.AddRectFilled(low, high, paint(p.palette.paper), s.vessel_r, ImDrawFlags_RoundCornersTop);
    const float level = 0.10f - 0.16f * static_cast<float>(now.vessel); // it rises as the check valve lets in
    p.ink.AddRectFilled({low.x, s.vessel.y + s.vessel_h * level}, high,
                        paint(p.shade(p.palette.water, "air_vessel")));
    const Colour check = p.shade(p.palette.ink, "check_valve");
    p.ink.AddRectFilled({s.check.x - s.vessel_r - wall, s.check.y - 0.5f * u},
                        {s.check.x + s.vessel_r + wall, s.check.y + 0.35f * u}, paint(check));
    p.ink.AddRectFilled({s.check.x - 1.0f * u, s.check.y - 0.5f * u},
                        {s.check.x + 1.0f * u, s.check.y + 0.35f * u},
                        paint(p.shade(p.palette.water, "check_valve")));
    const float lifted = 0.9f + 1.6f * static_cast<float>(now.check);
    p.ink.AddLine({s.check.x - 1.5f * u, s.check.y - 0.9f * u}, {s.check.x + 1.4f * u, s.check.y - lifted * u},
                  paint(check), std::max(p.mm(0.5f), 0.6f * u));
}

/// A height between two levels: the upper level dashed, an arrow at both ends.
void draw_height(Pencil& p, std::string_view part, float x, float from_y, float to_y, float level_to) {
    const Colour colour = p.is_lit(part) ? p.palette.ink : p.shade(p.palette.quiet, part);
    const ImVec2 line[] = {{x, from_y}, {x, to_y}};
    if (p.is_lit(part)) {
        pencil_halo(p, line, p.mm(2.6f));
    }
    dashed(p.ink, p.shade(p.palette.line, part), {x, from_y}, {level_to, from_y}, std::max(1.0f, p.mm(0.35f)),
           p.mm(1.2f));
    const Colour on_halo =
        p.is_lit(part) ? readable_on(p.palette.watch, p.palette.ink, p.palette.paper) : colour;
    const float mid = (from_y + to_y) / 2.0f;
    pencil_arrow(p, {x, mid}, {x, from_y}, on_halo, p.m.stroke);
    pencil_arrow(p, {x, mid}, {x, to_y}, on_halo, p.m.stroke);
    add_along(p.taken, {x, from_y}, {x, to_y}, p.mm(2.0f));
}

struct Ring {
    Spot centre;
    float rx = 0, ry = 0;
};

/// The ring around the lit part; none for pipes and heights, which are marked along their line. `pool` is a
/// middle and a size.
Ring ring_of(const Pencil& p, const PumpSign& pump, const Box& pool, const Box& vat) {
    const float u = pump.bore / 2.6f;
    const float about = std::min(p.mm(2.6f), 3.0f * u);
    if (p.is_lit("intake")) {
        return {{pool.x + p.mm(0.5f), pool.y}, pool.w * 0.62f + p.mm(1.0f), pool.h * 0.7f + about};
    }
    if (p.is_lit("waste_valve")) {
        return {{pump.valve.x, pump.valve.y - 1.6f * u}, 3.9f * u, 4.4f * u};
    }
    if (p.is_lit("check_valve") || p.is_lit("snifter")) {
        return {{pump.check.x, pump.check.y - 0.6f * u}, 4.2f * u, 2.7f * u};
    }
    if (p.is_lit("air_vessel")) {
        return {{pump.vessel.x, pump.vessel.y}, 4.2f * u, 6.2f * u};
    }
    if (p.is_lit("body")) {
        return {{pump.inlet.x + 5.9f * u, pump.inlet.y}, 7.6f * u, 3.0f * u};
    }
    if (p.is_lit("tank")) {
        return {{vat.x + vat.w / 2.0f, vat.y + vat.h / 2.0f},
                vat.w * 0.6f + p.mm(1.6f),
                vat.h * 0.6f + p.mm(2.0f)};
    }
    return {};
}

std::string with_length(std::string_view word, const std::optional<Length>& length, Units units) {
    return length ? std::string(word) + " " + format_length(*length, units) : std::string(word);
}

ImVec2 along(const std::vector<ImVec2>& points, float share) {
    float whole = 0;
    for (std::size_t i = 1; i < points.size(); ++i) {
        whole += std::hypot(points[i].x - points[i - 1].x, points[i].y - points[i - 1].y);
    }
    float left = whole * share;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const float piece = std::hypot(points[i].x - points[i - 1].x, points[i].y - points[i - 1].y);
        if (left <= piece && piece > 0.0f) {
            const float t = left / piece;
            return {points[i - 1].x + (points[i].x - points[i - 1].x) * t,
                    points[i - 1].y + (points[i].y - points[i - 1].y) * t};
        }
        left -= piece;
    }
    return points.back();
}

/// Beat and waste flow, and the beat alone.
std::vector<std::string> words_at_work(const AtWork& at_work, Units units) {
    const std::string beat = at_work.beat ? format_beat(*at_work.beat, units) : "";
    const std::string waste = at_work.waste ? format_flow(*at_work.waste, units) + " wasted" : "";
    return {beat.empty() || waste.empty() ? beat + waste : beat + ", " + waste, beat};
}

/// The first of these that the line of the heights leaves room for, under the pump.
void words_under(Pencil& p, const std::vector<std::string>& choices, float middle, float left, float right, float y) {
    for (const std::string& words : choices) {
        const float w = p.kit.width_of(Type::small, words);
        if (!words.empty() && w <= right - left) {
            p.kit.write(std::clamp(middle - w / 2.0f, left, right - w), y, Type::small, p.palette.quiet, words);
            return;
        }
    }
}

/// What was measured or is on record, each at its place.
void figures_at_work(Pencil& p, const AtWork& at_work, Units units, const PumpSign& pump, Spot tank) {
    if (at_work.vessel) {
        pencil_label(p, format_pressure(*at_work.vessel, units),
                     {pump.vessel.x, pump.vessel.y - pump.vessel_h / 2.0f - p.mm(0.8f)}, {-0.2f, -1.0f});
    }
    if (at_work.delivered) {
        pencil_label(p, format_flow(*at_work.delivered, units), {tank.x - p.mm(1.0f), tank.y}, {-1.0f, -0.2f});
    }
}

std::string describe(const Site& site, std::string_view part, Units units) {
    std::string said = "Cross-section of the installation";
    const std::string_view name = part_name(part);
    said += name.empty() ? std::string(".") : ". Marked: " + std::string(name) + ".";
    said += site.fall ? " Fall " + format_length(*site.fall, units) + "." : "";
    said += site.lift ? " Lift " + format_length(*site.lift, units) + "." : "";
    said += site.drive_length ? " Drive pipe " + format_length(*site.drive_length, units) + "." : "";
    said += site.delivery_length ? " Delivery pipe " + format_length(*site.delivery_length, units) + "." : "";
    return said;
}

} // namespace

std::string_view part_name(std::string_view part) {
    const auto found =
        std::find_if(names.begin(), names.end(), [part](const PartName& n) { return n.part == part; });
    return found == names.end() ? std::string_view() : found->name;
}

void draw_installation(Kit& kit, const Site& site, std::string_view part, Units units, float height_px,
                       const AtWork& at_work) {
    const std::string_view lit = part_name(part).empty() ? std::string_view() : part;
    const Box frame = kit.canvas(height_px, describe(site, lit, units));
    if (frame.h < kit.metrics().mm(14.0f)) {
        return;
    }
    Pencil p{kit, *kit.ink(), kit.palette(), kit.metrics(), frame, lit};
    const Motion motion = motion_of(kit, at_work.moves);
    const Section section = section_of(site);
    // The bottom line names the heights. A drawing much taller than wide would only stretch them.
    const bool height_lit = lit == "fall" || lit == "lift";
    const float bottom_line = (height_lit ? tag_height(p) : p.m.small) + p.mm(0.6f);
    const float h = std::min(frame.h, frame.w * 0.85f) - bottom_line - p.mm(1.0f), aside = p.mm(3.2f),
                aside_right = p.mm(4.8f);
    const Place place{section, frame.x + aside, frame.y + p.mm(1.0f), frame.w - aside - aside_right, h};
    const float words_y = place.y + h + p.mm(0.6f);
    p.frame = {frame.x, frame.y, frame.w, words_y - frame.y};

    // Ground and water.
    const std::vector<ImVec2> ground = place.all(section.ground);
    pencil_hatch(p, ground, lit.empty() ? p.palette.earth : mix(p.palette.earth, p.palette.paper, 0.35f));
    const double fall = section.intake.y / 0.88;
    const ImVec2 bank = ground[1], bottom = ground[3];
    const float surface = place.at({0.0, fall}).y;
    const float water_left =
        ground[1].x + (ground[2].x - ground[1].x) * (surface - bank.y) / std::max(1.0f, ground[2].y - bank.y);
    const ImVec2 mouth = place.at(section.intake);
    const float wall_x = mouth.x + p.mm(1.4f); // the header's wall holds the pool
    const ImVec2 pool[] = {{water_left, surface}, {wall_x, surface}, {wall_x, bottom.y}, ground[2]};
    const Colour pool_water = p.shade(p.palette.water, "intake");
    p.ink.AddConvexPolyFilled(pool, 4, paint(mix(pool_water, p.palette.paper, 0.55f)));
    p.ink.AddLine(pool[0], pool[1], paint(pool_water), p.mm(0.7f));
    p.ink.AddLine({wall_x, surface - p.mm(1.6f)}, {wall_x, bottom.y}, paint(p.shade(p.palette.ink, "intake")),
                  p.mm(1.2f));

    // Pump first in the reckoning: the pipes end at it.
    const ImVec2 foot = place.at(section.drive_foot), tank = place.at(section.tank);
    const float room = place.at(section.delivery_foot).x - foot.x;
    const PumpSign pump =
        pump_sign(foot, std::clamp(room, p.mm(11.0f), std::max(p.mm(11.0f), 0.32f * h * 13.0f / 12.0f)));
    const std::vector<ImVec2> drive = {mouth, foot};
    std::vector<ImVec2> delivery = place.all(section.delivery_pipe);
    delivery.front() = pump.outlet;
    if (delivery[1].x < pump.outlet.x + p.mm(2.0f)) {
        delivery[1].x = pump.outlet.x + p.mm(2.0f);
    }
    delivery[1].y = std::min(delivery[1].y, pump.outlet.y);

    if (p.is_lit("drive_pipe")) {
        pencil_halo(p, drive, p.mm(5.0f));
    }
    if (p.is_lit("delivery")) {
        pencil_halo(p, delivery, p.mm(3.8f));
    }
    pencil_pipe(p, drive, p.mm(1.6f), p.shade(p.palette.ink, "drive_pipe"),
                p.shade(p.palette.water, "drive_pipe"));
    pencil_pipe(p, delivery, p.mm(0.8f), p.shade(p.palette.ink, "delivery"),
                p.shade(p.palette.water, "delivery"));

    // Strainer at the mouth.
    const Colour strainer = p.shade(p.palette.ink, "intake");
    for (const float dx : {-2.6f, -1.6f, -0.6f}) {
        p.ink.AddLine({mouth.x + p.mm(dx), mouth.y - p.mm(1.4f)}, {mouth.x + p.mm(dx), mouth.y + p.mm(1.4f)},
                      paint(strainer), p.mm(0.45f));
    }

    // Tank on its shelf, filled from above.
    const float shelf_right = ground.back().x, shelf_y = ground.back().y;
    const Box vat{
        tank.x + p.mm(0.8f), tank.y + p.mm(0.6f),
        std::max(p.mm(3.6f), std::min(shelf_right, frame.x + frame.w - p.mm(4.2f)) - tank.x - p.mm(0.8f)),
        shelf_y - tank.y - p.mm(0.6f)};
    const Colour vat_ink = p.shade(p.palette.ink, "tank");
    p.ink.AddRectFilled({vat.x, vat.y + vat.h * 0.38f}, {vat.x + vat.w, vat.y + vat.h},
                        paint(mix(p.shade(p.palette.water, "tank"), p.palette.paper, 0.55f)));
    p.ink.AddLine({vat.x, vat.y + vat.h * 0.38f}, {vat.x + vat.w, vat.y + vat.h * 0.38f},
                  paint(p.shade(p.palette.water, "tank")), p.mm(0.6f));
    const ImVec2 shell[] = {
        {vat.x, vat.y}, {vat.x, vat.y + vat.h}, {vat.x + vat.w, vat.y + vat.h}, {vat.x + vat.w, vat.y}};
    round_line(p.ink, vat_ink, shell, p.mm(0.7f));
    const ImVec2 spout[] = {tank, {vat.x + p.mm(2.2f), tank.y}};
    pencil_pipe(p, spout, p.mm(0.8f), p.shade(p.palette.ink, "delivery"),
                p.shade(p.palette.water, "delivery"));
    if (motion.moves) {
        pencil_flow(p, drive, p.mm(1.6f), drive_shift(p, motion), p.palette.paper);
        pencil_flow(p, delivery, p.mm(0.8f), static_cast<float>(motion.pulses) * p.mm(2.5f),
                    p.palette.paper);
        pencil_pulse(p, drive, p.mm(1.6f), motion);
    }
    draw_pump_sign(p, pump, motion.now);

    // Where no words may stand.
    const float u = pump.bore / 2.6f;
    add_along(p.taken, {drive[0].x, drive[0].y}, {drive[1].x, drive[1].y}, p.mm(3.5f));
    for (std::size_t i = 1; i < delivery.size(); ++i) {
        add_along(p.taken, {delivery[i - 1].x, delivery[i - 1].y}, {delivery[i].x, delivery[i].y},
                  p.mm(3.0f));
    }
    for (std::size_t i = 1; i < ground.size(); ++i) {
        add_along(p.taken, {ground[i - 1].x, ground[i - 1].y + p.mm(1.0f)},
                  {ground[i].x, ground[i].y + p.mm(1.0f)}, p.mm(2.6f));
    }
    p.taken.push_back(
        {pool[0].x, surface - p.mm(1.0f), wall_x - pool[0].x + p.mm(1.5f), bottom.y - surface + p.mm(1.0f)});
    p.taken.push_back({vat.x, tank.y - p.mm(1.0f), vat.w, vat.h + p.mm(1.5f)});
    p.taken.push_back({pump.inlet.x, pump.vessel.y - pump.vessel_h / 2 - p.mm(0.5f), 11.8f * u,
                       foot.y - pump.vessel.y + pump.vessel_h / 2 + p.mm(2.5f)});

    // Heights: the fall under the pool, the lift under the tank.
    const float level = foot.y;
    const float fall_x = std::max(frame.x + p.mm(1.6f), water_left - p.mm(1.0f));
    const float lift_x = frame.x + frame.w - p.mm(1.4f);
    const float stroke = std::max(1.0f, p.mm(0.35f)), dash = p.mm(1.2f);
    const Colour level_colour = lit.empty() || height_lit ? p.palette.line : p.shade(p.palette.line, "fall");
    dashed(p.ink, level_colour, {frame.x, level}, {frame.x + frame.w, level}, stroke, dash);
    draw_height(p, "fall", fall_x, surface, level, pool[0].x);
    draw_height(p, "lift", lift_x, tank.y, level, vat.x + vat.w);

    // Words of the heights, each under its arrow.
    float free_from = frame.x, free_to = frame.x + frame.w;
    const auto height_words = [&](std::string_view part_id, std::string_view word,
                                  const std::optional<Length>& length, bool at_right) {
        const std::string text = with_length(word, length, units);
        const bool marked = p.is_lit(part_id);
        // Large letters: the one that is asked about has the room.
        const std::string other = at_right ? with_length("Fall", site.fall, units) : with_length("Lift", site.lift, units);
        if (!marked && height_lit && tag_width(p, other) + kit.width_of(Type::small, text) > frame.w) {
            return;
        }
        const float w = marked ? tag_width(p, text) : kit.width_of(Type::small, text);
        const float x = at_right ? frame.x + frame.w - w : frame.x;
        (at_right ? free_to : free_from) = at_right ? x - p.m.gap : x + w + p.m.gap;
        if (marked) {
            pencil_tag_at(p, text, {x, words_y, w, tag_height(p)});
        } else {
            kit.write(x, words_y, Type::small, p.palette.quiet, text);
        }
    };
    height_words("fall", "Fall", site.fall, false);
    height_words("lift", "Lift", site.lift, true);
    const bool roomy = frame.h > p.mm(50.0f);
    const std::string moves = motion_words(kit, at_work.moves, motion);
    words_under(p, roomy || moves.empty() ? words_at_work(at_work, units) : std::vector{moves}, pump.valve.x, free_from,
                free_to, words_y);

    // What the drawing says of itself, in its corner before a mark takes the place; a mark in that corner comes first.
    const auto say = [&](const std::string& note) {
        // Large letters in a small place: the mark has the room.
        const float mark = lit.empty() ? 0.0f : tag_width(p, part_name(lit));
        if (note.empty() || kit.width_of(Type::small, note) + mark > 0.6f * frame.w) {
            return;
        }
        const Box box = place_label(kit.width_of(Type::small, note), p.m.small, {frame.x, frame.y}, {0.0f, 0.0f},
                                    p.frame, p.taken)
                            .box;
        if (std::any_of(p.words.begin(), p.words.end(), [&](const Box& word) { return overlap(box, word) > 0.0f; })) {
            return;
        }
        kit.write(box.x, box.y, Type::small, p.palette.quiet, note);
        p.taken.push_back(box);
        p.words.push_back(box);
    };
    const bool corner_marked = p.is_lit("intake");
    if (!corner_marked) {
        say(scale_words(section, place.w, place.h));
    }

    // The mark on the part that is asked about, and its name.
    const ImVec2 drive_mid = along(drive, 0.5f), delivery_mid = along(delivery, 0.5f);
    const Ring ring = ring_of(
        p, pump,
        {(pool[0].x + wall_x) / 2.0f, (surface + bottom.y) / 2.0f, wall_x - pool[0].x, bottom.y - surface},
        vat);
    if (ring.rx > 0.0f) {
        pencil_ring(p, {ring.centre.x, ring.centre.y}, ring.rx, ring.ry);
        pencil_tag(p, part_name(lit), ring.centre, ring.rx, ring.ry, {0.0f, -1.0f});
    } else if (lit == "drive_pipe") {
        pencil_tag(p, with_length(part_name(lit), site.drive_length, units), {drive_mid.x, drive_mid.y},
                   p.mm(2.5f), p.mm(2.5f), {0.3f, -0.95f});
    } else if (lit == "delivery") {
        pencil_tag(p, with_length(part_name(lit), site.delivery_length, units),
                   {delivery_mid.x, delivery_mid.y}, p.mm(2.0f), p.mm(2.0f), {-0.6f, -0.8f});
    }
    if (roomy || lit.empty()) {
        if (lit != "delivery") {
            pencil_label(p, with_length("Delivery pipe", site.delivery_length, units),
                         {delivery_mid.x, delivery_mid.y - p.mm(1.0f)}, {-0.7f, -0.7f});
        }
        if (lit != "drive_pipe") {
            pencil_label(p, with_length("Drive pipe", site.drive_length, units),
                         {drive_mid.x, drive_mid.y - p.mm(1.4f)}, {0.4f, -0.9f});
        }
    }
    if (corner_marked) {
        say(scale_words(section, place.w, place.h));
    }
    if (roomy) {
        say(moves);
        figures_at_work(p, at_work, units, pump, {tank.x, tank.y});
    }
}

} // namespace beckhand::kit
