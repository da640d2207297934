#include "survey/map_picture.hpp"

#include "survey/cutting.hpp"
#include "survey/picture_class.hpp"
#include "survey/picture_names.hpp"

#include <algorithm>

namespace waywarden::survey {

namespace {

constexpr double k_detail_m = 2;
constexpr double k_coarsest_m = 64;

class Painter {
  public:
    Painter(const map::Ground& ground, const geo::LocalFrame& frame, const Cutter& cutter, double detail_m)
        : m_ground(ground), m_frame(frame), m_cutter(cutter), m_names(frame) {
        m_picture.detail_m = detail_m;
        m_picture.lines.resize(k_picture_classes);
    }

    MapPicture paint() && {
        for (const map::Area& area : m_ground.areas)
            if (const auto of = picture_of_area(area.object.tags)) paint_area(area, *of);
        for (const map::Way& way : m_ground.ways)
            if (const auto of = picture_of_line(way.object.tags)) paint_way(way, *of);
        for (const PlaneLine& ring :
             m_cutter.right_of(m_coast, m_picture.detail_m)) // OSM has the sea on the right
            keep(ring, PictureClass::sea);
        for (const map::TaggedNode& node : m_ground.tagged_nodes)
            if (m_cutter.holds(m_frame.to_plane(node.position))) m_names.add_place(node);
        for (const PlaneLine& ring : m_cutter.outline()) {
            PictureLine& to = m_picture.outline.emplace_back();
            for (const geo::Metres2 p : ring)
                to.push_back(m_frame.to_position(p));
        }
        m_picture.names = std::move(m_names).take();
        return std::move(m_picture);
    }

  private:
    PlaneLine on_plane(const std::vector<geo::Position>& ring) const {
        PlaneLine out;
        out.reserve(ring.size());
        for (const geo::Position p : ring)
            out.push_back(m_frame.to_plane(p));
        return out;
    }
    void keep(const PlaneLine& line, PictureClass of) {
        PictureLine& to = m_picture.lines[static_cast<std::size_t>(of)].emplace_back();
        to.reserve(line.size());
        for (const geo::Metres2 p : line)
            to.push_back(m_frame.to_position(p));
        m_picture.points += line.size();
    }
    void paint_area(const map::Area& area, PictureClass of) {
        for (const map::Area::Polygon& polygon : area.polygons) {
            PlanePolygon plane{on_plane(polygon.outer), {}};
            for (const auto& inner : polygon.inner)
                if (inner.size() >= 4) plane.inner.push_back(on_plane(inner));
            const std::vector<PlaneLine> rings = m_cutter.cut(
                plane, of == PictureClass::building ? m_picture.detail_m / 4 : m_picture.detail_m);
            for (const PlaneLine& ring : rings)
                keep(ring, of);
            if (!rings.empty()) m_names.add_area(area.object, of, rings.front());
        }
    }
    void paint_way(const map::Way& way, PictureClass of) {
        PlaneLine plane;
        for (const map::NodeIndex node : way.nodes)
            plane.push_back(m_frame.to_plane(m_ground.nodes[node].position));
        const std::vector<PlaneLine> parts = m_cutter.cut(plane, m_picture.detail_m);
        if (of == PictureClass::coast && !parts.empty()) m_coast.push_back(plane);
        for (const PlaneLine& line : parts) {
            keep(line, of);
            m_names.add_line(way.object, of, line);
        }
    }

    const map::Ground& m_ground;
    const geo::LocalFrame& m_frame;
    const Cutter& m_cutter;
    PictureNames m_names;
    std::vector<PlaneLine> m_coast;
    MapPicture m_picture;
};

/// The middle of the box around the route.
geo::Position middle(const route::Route& route) {
    const geo::Position first = route.segments.front().points.front().position;
    const geo::LocalFrame frame(first); // takes longitudes the short way round
    geo::Metres2 low, high;
    for (const route::Segment& segment : route.segments)
        for (const route::RoutePoint& point : segment.points) {
            const geo::Metres2 at = frame.to_plane(point.position);
            low = {std::min(low.x_m, at.x_m), std::min(low.y_m, at.y_m)};
            high = {std::max(high.x_m, at.x_m), std::max(high.y_m, at.y_m)};
        }
    return frame.to_position(0.5 * (low + high));
}

} // namespace

std::vector<PlaneLine> walked_lines(const route::Route& route, const geo::LocalFrame& frame) {
    std::vector<PlaneLine> out;
    for (const route::Segment& segment : route.segments) {
        PlaneLine& line = out.emplace_back();
        for (const route::RoutePoint& point : segment.points)
            line.push_back(frame.to_plane(point.position));
    }
    std::erase_if(out, [](const PlaneLine& line) { return line.empty(); });
    return out;
}

std::optional<geo::LocalFrame> picture_frame(const route::Route& route) {
    if (route.segments.empty() || route.segments.front().points.empty()) return std::nullopt;
    return geo::LocalFrame(middle(route));
}

MapPicture map_picture(const route::Route& route, const map::Ground& ground, double reach_m,
                       std::size_t most_points) {
    const auto frame = picture_frame(route);
    if (!frame) return {};
    const Cutter cutter(walked_lines(route, *frame), reach_m);
    for (double detail_m = k_detail_m;; detail_m *= 2) {
        MapPicture out = Painter(ground, *frame, cutter, detail_m).paint();
        out.reach_m = reach_m;
        if (out.points <= most_points || detail_m >= k_coarsest_m) return out;
    }
}

} // namespace waywarden::survey
