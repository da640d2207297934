#pragma once

#include "geo/grid_reference.hpp"
#include "survey/checkpoints.hpp"
#include "survey/heights.hpp"
#include "survey/survey.hpp"
#include "survey/walking_time.hpp"

#include <chrono>
#include <map>
#include <optional>

/// The figures of each leg.
namespace waywarden::survey {

/// What legs are reckoned with beside the route and what the survey knows of it.
struct LegBasis {
    geo::GridSystem grid = geo::GridSystem::utm;
    std::chrono::year_month_day date = {};  ///< of the walk, for the magnetic model
    std::optional<HeightLine> heights = {}; ///< none: nothing is known of climbs, nor of walking times
    std::optional<Effort> effort = {};      ///< none: nobody said how fast the party is
    std::optional<Timetable> timetable = {};
    /// Climbs that a card tells, by the number of the leg from 0: they stand where no heights are known.
    struct ToldClimb {
        double ascent_m = 0;
        std::optional<double> descent_m;
    };
    std::map<std::size_t, ToldClimb> told_climbs = {};
};

/// The direction of the straight line from one place to another, degrees from grid north of `grid` in [0,
/// 360): on the British and Irish grids from both grid positions, so good to 0.01 degrees over 500 m; on UTM,
/// and where a grid has no letters, the geodesic's azimuth less the convergence at `from`, so by the grid of
/// the zone of the start, within 0.01 degrees over 10 km.
double bearing_grid_deg(geo::Position from, geo::Position to, geo::GridSystem grid);

/// The legs between checkpoints. A leg with a part whose height is not known has no climb and no walking
/// time: a time for the flat would be too short. Clock times end where a walking time is missing or 16 hours
/// after the start. Rests are taken within the leg they belong to, so a leg ends at the clock when the next
/// begins.
LegTable legs_between(const route::Route& route, const Survey& survey, CheckpointList checkpoints,
                      const LegBasis& basis);

/// What the legs of a survey are reckoned with.
LegBasis leg_basis(const region::Region& region, std::int64_t today_s, const Given& given);

/// The legs by what was asked for, else by the file's own checkpoints.
LegTable find_legs(const route::Route& route, const Survey& survey, const LegBasis& basis,
                   const std::optional<LegSpacing>& every);

/// The facts that rules may ask for, from the figures of a leg.
Facts leg_facts(const Leg& leg);

} // namespace waywarden::survey
