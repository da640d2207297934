#pragma once

#include "map/kinds.hpp"
#include "map/tag_reading.hpp"
#include "match/trace.hpp"
#include "region/region.hpp"
#include "survey/passing_time.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <utility>
#include <vector>

/// What the parts of the survey share: the walk and everything near it on one plane.
namespace waywarden::survey {

/// A place on the walk.
struct WalkPoint {
    geo::Position position;
    geo::Metres2 at;
    double at_m = 0; ///< along the route as drawn
    map::NodeIndex node = map::k_no_node;
};

/// From one point of the walk to the next.
struct WalkStep {
    std::optional<map::WayIndex> way; ///< none: open ground
    std::size_t stretch = 0;          ///< index into the trace
};

/// One segment of the route as it is walked: steps[i] leads from points[i] to points[i + 1]. No step is
/// shorter than 1 cm.
struct Walk {
    std::vector<WalkPoint> points;
    std::vector<WalkStep> steps;
};

/// Steps [first, end) of a walk.
struct StepRange {
    std::size_t first = 0, end = 0;
};

/// The steps that may touch what lies between two places of the route, and at most a few more.
StepRange steps_between(const Walk& walk, double from_m, double to_m);

/// The steps of one stretch of the trace.
StepRange steps_of_stretch(const Walk& walk, std::size_t stretch);

/// What a way is to someone who meets it.
/// `gate`: a gate or stile drawn as a line.
enum class LineRole : std::uint8_t { none, path, road, rail, water, ferry, barrier, gate, coast, cliff };

/// A piece of a way between two of its nodes.
struct LinePiece {
    map::WayIndex way = 0;
    std::uint32_t first = 0; ///< from nodes[first] to nodes[first + 1]
    friend auto operator<=>(const LinePiece&, const LinePiece&) = default;
};

/// An upright box on the plane.
struct PlaneBox {
    geo::Metres2 low{1e300, 1e300}, high{-1e300, -1e300};
    void add(geo::Metres2 p);
    void grow(double by_m);
    bool meets(const PlaneBox& other) const;
    bool holds(geo::Metres2 p) const;
};

/// A raster of cells over the walk; only those within `reach_m` of it exist.
class NearCells {
  public:
    NearCells(const std::vector<Walk>& walks, double reach_m);
    /// Calls `use(cell)` for every existing cell the box touches; cells are numbered from 0.
    template <typename Use> void each(const PlaneBox& box, Use use) const {
        if (!box.meets(m_box)) return;
        const auto [x0, y0] = cell_of(box.low);
        const auto [x1, y1] = cell_of(box.high);
        for (int y = y0; y <= y1; ++y)
            for (int x = x0; x <= x1; ++x)
                if (const auto cell = m_cells[index(x, y)]) use(cell - 1);
    }
    std::size_t count() const { return m_count; }

  private:
    std::pair<int, int> cell_of(geo::Metres2 p) const; ///< clamped to the raster
    std::size_t index(int x, int y) const {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(m_wide) + static_cast<std::size_t>(x);
    }
    PlaneBox m_box;
    double m_size_m = 64;
    int m_wide = 1, m_high = 1;
    std::vector<std::uint32_t> m_cells; ///< 0: no walk near
    std::size_t m_count = 0;
};

/// The steps of the walk by the cells that the box around each, grown by some metres, touches.
class StepsInCells {
  public:
    /// The cells must outlive it.
    StepsInCells(const std::vector<Walk>& walks, const NearCells& cells, double grown_by_m);
    /// Calls `use(walk, step)` for the steps in the cells that the box touches; one in several for each.
    template <typename Use> void each(const PlaneBox& box, Use use) const {
        m_cells.each(box, [&](std::size_t cell) {
            for (const Steps& steps : m_steps[cell])
                for (std::size_t step = steps.first; step < steps.end; ++step)
                    use(steps.walk, step);
        });
    }

  private:
    /// Steps [first, end) of a walk: of a line with a point every few centimetres a cell holds thousands.
    struct Steps {
        std::size_t walk, first, end;
    };
    const NearCells& m_cells;
    std::vector<std::vector<Steps>> m_steps; ///< a cell
};

/// Built once a route. Plane lengths are good to 0.1 % at 5 km from the middle; cuts are exact, because the
/// plane is an affine picture of longitude and latitude.
class Scene {
  public:
    Scene(const map::Ground& ground, const match::Trace& trace, const region::Region& region,
          std::optional<Timetable> timetable = {});

    const map::Ground& ground() const { return m_ground; }
    const match::Trace& trace() const { return m_trace; }
    const region::Region& region() const { return m_region; }
    const geo::LocalFrame& frame() const { return m_frame; }
    const std::vector<Walk>& walks() const { return m_walks; }
    const NearCells& cells() const { return m_cells; }

    const map::Way& way(map::WayIndex way) const { return m_ground.ways[way]; }
    const map::Tags& tags(map::WayIndex way) const { return m_ground.ways[way].object.tags; }
    LineRole role(map::WayIndex way) const { return m_roles[way]; }
    geo::Metres2 node_at(map::NodeIndex node) const { return m_node_at[node]; }
    std::pair<geo::Metres2, geo::Metres2> ends(LinePiece piece) const;

    /// Pieces of ways of any role but none whose cells the box touches, each once, by way and place in it.
    /// Holds only what is within about 60 m of the walk.
    void near(const PlaneBox& box, std::vector<LinePiece>& out) const;

    /// Ways of any role but none through a node that the walk passes, each once by way. Empty for others.
    std::vector<map::WayIndex> ways_at(map::NodeIndex node) const;

    /// When the walkers are between two places of the route; nothing where no start was given.
    std::optional<map::At> passing(double from_m, double to_m, geo::Position position) const;

    /// The facts of a way, read once, whatever the time.
    const map::WayFacts& facts(map::WayIndex way) const;

    static constexpr double k_reach_m = 60;

  private:
    void index_pieces();
    void index_walk_nodes();

    const map::Ground& m_ground;
    const match::Trace& m_trace;
    const region::Region& m_region;
    std::optional<Timetable> m_timetable;
    geo::LocalFrame m_frame;
    std::vector<geo::Metres2> m_node_at;
    std::vector<Walk> m_walks;
    std::vector<LineRole> m_roles;
    NearCells m_cells;
    std::vector<std::vector<LinePiece>> m_pieces; ///< a cell
    std::vector<std::pair<map::NodeIndex, map::WayIndex>> m_ways_at;
    mutable std::map<map::WayIndex, map::WayFacts> m_facts; ///< a cache; a Scene belongs to one thread
};

LineRole role_of(const map::Tags& tags);

} // namespace waywarden::survey
