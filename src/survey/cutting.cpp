#include "survey/cutting.hpp"

#include "error.hpp"

#define GEOS_USE_ONLY_R_API
#include <geos_c.h>

#include <functional>

namespace waywarden::survey {

namespace {

using Handle = std::unique_ptr<GEOSContextHandle_HS, decltype(&GEOS_finish_r)>;
using Free = std::function<void(GEOSGeometry*)>;
using Geometry = std::unique_ptr<GEOSGeometry, Free>;

constexpr double k_aside_m = 0.2;       ///< from a line to where its side is looked at
constexpr int k_steps_of_a_quarter = 6; ///< of the round ends of what is within reach: 3 % off at 400 m

} // namespace

double length_of(const PlaneLine& line) {
    double out = 0;
    for (std::size_t i = 1; i < line.size(); ++i)
        out += geo::length_m(line[i] - line[i - 1]);
    return out;
}

struct Cutter::Inside {
    Handle handle{GEOS_init_r(), GEOS_finish_r};
    Geometry area;
    std::unique_ptr<const GEOSPreparedGeometry, std::function<void(const GEOSPreparedGeometry*)>> prepared;

    Geometry own(GEOSGeometry* geometry) const {
        return {geometry, [h = handle.get()](GEOSGeometry* g) { GEOSGeom_destroy_r(h, g); }};
    }
    GEOSCoordSequence* sequence(const PlaneLine& line) const {
        GEOSCoordSequence* out = GEOSCoordSeq_create_r(handle.get(), static_cast<unsigned>(line.size()), 2);
        for (unsigned i = 0; out && i < line.size(); ++i)
            GEOSCoordSeq_setXY_r(handle.get(), out, i, line[i].x_m, line[i].y_m);
        return out;
    }
    Geometry line(const PlaneLine& points) const {
        return own(GEOSGeom_createLineString_r(handle.get(), sequence(points)));
    }
    Geometry polygon(const PlanePolygon& p) const {
        std::vector<GEOSGeometry*> holes;
        for (const PlaneLine& ring : p.inner)
            holes.push_back(GEOSGeom_createLinearRing_r(handle.get(), sequence(ring)));
        return own(GEOSGeom_createPolygon_r(handle.get(),
                                            GEOSGeom_createLinearRing_r(handle.get(), sequence(p.outer)),
                                            holes.data(), static_cast<unsigned>(holes.size())));
    }
    void read_line(const GEOSGeometry* g, std::vector<PlaneLine>& out) const {
        const GEOSCoordSequence* points = GEOSGeom_getCoordSeq_r(handle.get(), g);
        unsigned size = 0;
        if (!points || !GEOSCoordSeq_getSize_r(handle.get(), points, &size) || size < 2) return;
        PlaneLine& to = out.emplace_back(size);
        for (unsigned i = 0; i < size; ++i)
            GEOSCoordSeq_getXY_r(handle.get(), points, i, &to[i].x_m, &to[i].y_m);
    }
    void read(const GEOSGeometry* g, std::vector<PlaneLine>& out) const {
        const GEOSContextHandle_t h = handle.get();
        const int type = GEOSGeomTypeId_r(h, g);
        if (type == GEOS_LINESTRING || type == GEOS_LINEARRING) {
            read_line(g, out);
        } else if (type == GEOS_POLYGON) {
            if (GEOSisEmpty_r(h, g)) return;
            read_line(GEOSGetExteriorRing_r(h, g), out);
            for (int i = 0; i < GEOSGetNumInteriorRings_r(h, g); ++i)
                read_line(GEOSGetInteriorRingN_r(h, g, i), out);
        } else {
            for (int i = 0; i < GEOSGetNumGeometries_r(h, g); ++i)
                if (type != GEOS_POINT && type != GEOS_MULTIPOINT) read(GEOSGetGeometryN_r(h, g, i), out);
        }
    }
    /// What is left of a shape within reach: the shape itself, a part, or null.
    Geometry within(Geometry shape, bool areal) const {
        const GEOSContextHandle_t h = handle.get();
        if (!shape || GEOSPreparedIntersects_r(h, prepared.get(), shape.get()) != 1) return own(nullptr);
        if (areal && GEOSisValid_r(h, shape.get()) != 1)
            if (Geometry valid = own(GEOSMakeValid_r(h, shape.get()))) shape = std::move(valid);
        if (GEOSPreparedContains_r(h, prepared.get(), shape.get()) == 1) return shape;
        Geometry part = own(GEOSIntersection_r(h, shape.get(), area.get()));
        return part ? std::move(part) : std::move(shape);
    }
    /// Looks a little to either side of the middle of every piece of the lines.
    bool only_right_of(const GEOSGeometry* face, const std::vector<PlaneLine>& lines) const {
        const GEOSContextHandle_t h = handle.get();
        const std::unique_ptr<const GEOSPreparedGeometry, std::function<void(const GEOSPreparedGeometry*)>>
            ready{GEOSPrepare_r(h, face),
                  [h](const GEOSPreparedGeometry* g) { GEOSPreparedGeom_destroy_r(h, g); }};
        const auto holds = [&](geo::Metres2 p) {
            return GEOSPreparedContains_r(h, ready.get(),
                                          own(GEOSGeom_createPointFromXY_r(h, p.x_m, p.y_m)).get()) == 1;
        };
        bool right = false;
        for (const PlaneLine& line : lines)
            for (std::size_t i = 1; i < line.size(); ++i) {
                const geo::Metres2 step = line[i] - line[i - 1], middle = 0.5 * (line[i] + line[i - 1]);
                const double length = geo::length_m(step);
                if (length < 1) continue;
                const geo::Metres2 aside = (k_aside_m / length) * geo::Metres2{step.y_m, -step.x_m};
                if (holds(middle - aside)) return false;
                right |= holds(middle + aside);
            }
        return right;
    }
    std::vector<PlaneLine> cut(Geometry shape, bool areal, double detail_m) const {
        std::vector<PlaneLine> out;
        const Geometry left = within(std::move(shape), areal);
        if (!left) return out;
        const Geometry simple = own(GEOSSimplify_r(handle.get(), left.get(), detail_m));
        read(simple ? simple.get() : left.get(), out);
        return out;
    }
};

Cutter::Cutter(const std::vector<PlaneLine>& lines, double reach_m) : m_inside(std::make_unique<Inside>()) {
    std::vector<GEOSGeometry*> parts;
    for (const PlaneLine& line : lines) // a point alone is drawn as a line without length
        parts.push_back(m_inside->line(line.size() == 1 ? PlaneLine{line[0], line[0]} : line).release());
    const GEOSContextHandle_t h = m_inside->handle.get();
    const Geometry all = m_inside->own(GEOSGeom_createCollection_r(h, GEOS_MULTILINESTRING, parts.data(),
                                                                   static_cast<unsigned>(parts.size())));
    if (all) m_inside->area = m_inside->own(GEOSBuffer_r(h, all.get(), reach_m, k_steps_of_a_quarter));
    if (!m_inside->area) throw InternalError("the surroundings of the route could not be worked out by GEOS");
    m_inside->prepared = {GEOSPrepare_r(h, m_inside->area.get()),
                          [h](const GEOSPreparedGeometry* g) { GEOSPreparedGeom_destroy_r(h, g); }};
}

Cutter::~Cutter() = default;

std::vector<PlaneLine> Cutter::cut(const PlaneLine& line, double detail_m) const {
    if (line.size() < 2) return {};
    return m_inside->cut(m_inside->line(line), false, detail_m);
}

std::vector<PlaneLine> Cutter::cut(const PlanePolygon& polygon, double detail_m) const {
    if (polygon.outer.size() < 4) return {};
    return m_inside->cut(m_inside->polygon(polygon), true, detail_m);
}

bool Cutter::holds(geo::Metres2 p) const {
    const GEOSContextHandle_t h = m_inside->handle.get();
    const Geometry point = m_inside->own(GEOSGeom_createPointFromXY_r(h, p.x_m, p.y_m));
    return point && GEOSPreparedIntersects_r(h, m_inside->prepared.get(), point.get()) == 1;
}

std::vector<PlaneLine> Cutter::right_of(const std::vector<PlaneLine>& lines, double detail_m) const {
    std::vector<PlaneLine> out;
    if (lines.empty()) return out;
    const GEOSContextHandle_t h = m_inside->handle.get();
    std::vector<GEOSGeometry*> parts{GEOSBoundary_r(h, m_inside->area.get())};
    for (const PlaneLine& line : lines)
        parts.push_back(m_inside->line(line).release());
    const Geometry all = m_inside->own(GEOSGeom_createCollection_r(h, GEOS_GEOMETRYCOLLECTION, parts.data(),
                                                                   static_cast<unsigned>(parts.size())));
    const Geometry noded = all ? m_inside->own(GEOSUnaryUnion_r(h, all.get())) : m_inside->own(nullptr);
    const GEOSGeometry* const pieces[] = {noded.get()};
    const Geometry faces = noded ? m_inside->own(GEOSPolygonize_r(h, pieces, 1)) : m_inside->own(nullptr);
    for (int i = 0; faces && i < GEOSGetNumGeometries_r(h, faces.get()); ++i) {
        const GEOSGeometry* face = GEOSGetGeometryN_r(h, faces.get(), i);
        const Geometry within = m_inside->own(GEOSPointOnSurface_r(h, face));
        const bool here = within && GEOSPreparedContains_r(h, m_inside->prepared.get(), within.get()) == 1;
        if (!here || !m_inside->only_right_of(face, lines)) continue;
        const Geometry simple = m_inside->own(GEOSSimplify_r(h, face, detail_m));
        m_inside->read(simple ? simple.get() : face, out);
    }
    return out;
}

std::vector<PlaneLine> Cutter::outline() const {
    std::vector<PlaneLine> out;
    m_inside->read(m_inside->area.get(), out);
    return out;
}

} // namespace waywarden::survey
