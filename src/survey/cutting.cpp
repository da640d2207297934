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

constexpr int k_steps_of_a_quarter = 6; ///< of the round ends of what is within reach: 3 % off at 400 m

} // namespace

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

} // namespace waywarden::survey
