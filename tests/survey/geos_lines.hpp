#pragma once

#include "geo/position.hpp"
#include "map/ground.hpp"

#include <geos_c.h>

#include <algorithm>
#include <memory>
#include <set>
#include <string>
#include <utility>
#include <vector>

/// GEOS as the outside judge of crossings: lines of a map on a plane, and discs cut by them.
namespace waywarden::test {

constexpr double k_buffer_m = 0.3; ///< around the place

inline std::string kind_of(const map::Tags& tags) {
    static const std::set<std::string_view> roads{
        "motorway",     "motorway_link", "trunk",          "trunk_link", "primary",
        "primary_link", "secondary",     "secondary_link", "tertiary",   "tertiary_link",
        "unclassified", "residential",   "living_street",  "service",    "road"};
    static const std::set<std::string_view> rails{"rail",      "light_rail", "tram",     "narrow_gauge",
                                                  "preserved", "subway",     "miniature"};
    static const std::set<std::string_view> waters{"river", "canal", "stream",
                                                   "drain", "ditch", "tidal_channel"};
    if (tags.is("area", "yes")) return "";
    if (roads.count(tags.get("highway")) != 0) return "road";
    if (tags.has("highway")) return "";
    if (rails.count(tags.get("railway")) != 0) return "rail";
    return waters.count(tags.get("waterway")) != 0 ? "water" : "";
}

struct Free {
    GEOSContextHandle_t context;
    void operator()(GEOSGeometry* g) const { GEOSGeom_destroy_r(context, g); }
};
using Geometry = std::unique_ptr<GEOSGeometry, Free>;

class Geos {
  public:
    Geos() : m_context(GEOS_init_r()) {}
    ~Geos() { GEOS_finish_r(m_context); }
    Geos(const Geos&) = delete;
    Geos& operator=(const Geos&) = delete;
    GEOSContextHandle_t context() const { return m_context; }
    Geometry own(GEOSGeometry* g) const { return {g, Free{m_context}}; }

    Geometry line(const std::vector<geo::Metres2>& points) const {
        if (points.size() == 1)
            return own(GEOSGeom_createPointFromXY_r(m_context, points[0].x_m, points[0].y_m));
        GEOSCoordSequence* s = GEOSCoordSeq_create_r(m_context, static_cast<unsigned>(points.size()), 2);
        for (unsigned i = 0; i < points.size(); ++i)
            GEOSCoordSeq_setXY_r(m_context, s, i, points[i].x_m, points[i].y_m);
        return own(GEOSGeom_createLineString_r(m_context, s));
    }
    std::vector<geo::Metres2> points_of(const GEOSGeometry* g) const {
        std::vector<geo::Metres2> out;
        for (int i = 0; i < GEOSGetNumGeometries_r(m_context, g); ++i) {
            const GEOSGeometry* part = GEOSGetGeometryN_r(m_context, g, i);
            if (GEOSGeomTypeId_r(m_context, part) != GEOS_POINT || GEOSisEmpty_r(m_context, part)) continue;
            geo::Metres2 p;
            GEOSGeomGetX_r(m_context, part, &p.x_m);
            GEOSGeomGetY_r(m_context, part, &p.y_m);
            out.push_back(p);
        }
        return out;
    }

    /// Whether `line` cuts the buffer around a run of the walk so that two places in it come apart.
    bool separated(const std::vector<geo::Metres2>& run, const GEOSGeometry* line, geo::Metres2 in,
                   geo::Metres2 out) const {
        const Geometry disc = own(GEOSBuffer_r(m_context, this->line(run).get(), k_buffer_m, 16));
        const Geometry rim = own(GEOSBoundary_r(m_context, disc.get()));
        // Taken from a larger buffer, so that it sticks out over the rim and is noded with it.
        const Geometry around = own(GEOSBuffer_r(m_context, this->line(run).get(), 2 * k_buffer_m, 16));
        const Geometry cut = own(GEOSIntersection_r(m_context, line, around.get()));
        const Geometry net = own(GEOSUnion_r(m_context, rim.get(), cut.get()));
        const GEOSGeometry* nets[]{net.get()};
        const Geometry faces = own(GEOSPolygonize_r(m_context, nets, 1));
        return face_of(faces.get(), in) != face_of(faces.get(), out);
    }

  private:
    int face_of(const GEOSGeometry* faces, geo::Metres2 p) const {
        const Geometry point = line({p});
        int best = -1;
        double best_m = 1e9;
        for (int i = 0; i < GEOSGetNumGeometries_r(m_context, faces); ++i) {
            double m = 0;
            GEOSDistance_r(m_context, GEOSGetGeometryN_r(m_context, faces, i), point.get(), &m);
            if (m < best_m) {
                best_m = m;
                best = i;
            }
        }
        return best;
    }
    GEOSContextHandle_t m_context;
};

/// The roads, rails and waters of a map as GEOS lines on one plane, found by place.
class MapLines {
  public:
    using Entry = std::pair<map::WayIndex, Geometry>;

    MapLines(const map::Ground& ground, geo::Position middle) : m_frame(middle) {
        for (map::WayIndex w = 0; w < ground.ways.size(); ++w) {
            if (kind_of(ground.ways[w].object.tags).empty()) continue;
            std::vector<geo::Metres2> points;
            for (const map::NodeIndex n : ground.ways[w].nodes)
                points.push_back(m_frame.to_plane(ground.nodes[n].position));
            m_lines.emplace_back(w, m_geos.line(points));
        }
        m_tree = GEOSSTRtree_create_r(m_geos.context(), 10);
        for (Entry& entry : m_lines)
            GEOSSTRtree_insert_r(m_geos.context(), m_tree, entry.second.get(), &entry);
    }
    ~MapLines() { GEOSSTRtree_destroy_r(m_geos.context(), m_tree); }
    MapLines(const MapLines&) = delete;
    MapLines& operator=(const MapLines&) = delete;

    const Geos& geos() const { return m_geos; }
    const geo::LocalFrame& frame() const { return m_frame; }
    std::vector<const Entry*> near(const GEOSGeometry* g) const {
        std::vector<const Entry*> out;
        GEOSSTRtree_query_r(
            m_geos.context(), m_tree, g,
            [](void* item, void* list) {
                static_cast<std::vector<const Entry*>*>(list)->push_back(static_cast<const Entry*>(item));
            },
            &out);
        std::sort(out.begin(), out.end(), [](const Entry* a, const Entry* b) { return a->first < b->first; });
        return out;
    }
    /// Those that run through a place.
    std::vector<const Entry*> through(geo::Metres2 p) const {
        const Geometry here = m_geos.line({p});
        const Geometry around = m_geos.own(GEOSBuffer_r(m_geos.context(), here.get(), 0.01, 4));
        auto out = near(around.get());
        std::erase_if(out, [&](const Entry* entry) {
            double m = 0;
            GEOSDistance_r(m_geos.context(), entry->second.get(), here.get(), &m);
            return m >= 0.01;
        });
        return out;
    }

  private:
    Geos m_geos;
    geo::LocalFrame m_frame;
    std::vector<Entry> m_lines;
    GEOSSTRtree* m_tree = nullptr;
};

} // namespace waywarden::test
