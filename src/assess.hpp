#pragma once

#include "geo/zoned_time.hpp"
#include "map/ground.hpp"
#include "route/route.hpp"
#include "rules/rule_set.hpp"
#include "survey/card_check.hpp"
#include "survey/map_picture.hpp"
#include "survey/survey.hpp"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace waywarden {

/// What the user asked for.
struct Request {
    std::vector<std::string> routes; ///< files; one that ends in .csv is a route card without a line
    std::vector<std::string> cards;  ///< the card of each route, "" where it has none; empty: none has
    std::vector<std::string> maps;
    std::string region = "auto";
    std::string party = "youth-expedition";
    std::vector<std::string> rule_sets;
    std::int64_t date_s = 0;               ///< Unix time that ages are counted to
    std::optional<geo::WrittenTime> start; ///< of the walk, by the clock of the place; none: nobody said
    std::optional<survey::LegSpacing> legs_every; ///< none: by the checkpoints of the file
    std::string elevation; ///< a raster of heights, or a folder of them; empty: the file's own elevations
    int threads = 2;
    bool map_picture = false; ///< whether a report will draw the map
    std::function<void(const std::string& what, double share_done)> progress; ///< may be empty
};

/// Something the map says otherwise than it did for an earlier result.
struct Change {
    double from_m = 0, to_m = 0; ///< along the route as it is now
    geo::Position position;
    std::string text; ///< in plain words, without a full stop
};

/// An acceptance for the route that covers no finding now.
struct UnusedAcceptance {
    rules::Finding finding; ///< as it was accepted
    rules::Acceptance acceptance;
    enum class Because {
        nothing_there, ///< no finding of the kind is there any more
        expired,
        cannot_be_accepted, ///< what is there now keeps the route from being vouched for
        changed             ///< what is there now is worse, or for another party
    } because = Because::nothing_there;
    std::string words; ///< the same in words, without a full stop
};

/// One route with everything found out about it.
struct Assessed {
    route::Route route;
    survey::Survey survey;
    std::optional<survey::CheckedCard> card; ///< where one was handed in
    std::vector<rules::Finding> findings;
    std::vector<rules::Finding> absent; ///< of an earlier result compared with, and no longer found
    std::vector<Change> changes;        ///< since an earlier result, with a finding or without
    std::vector<UnusedAcceptance> unused_acceptances; ///< in the order of their file
    rules::Verdict verdict = rules::Verdict::cannot_vouch;
    geo::GridSystem grid = geo::GridSystem::utm;
    std::string region;      ///< judged by
    std::string region_note; ///< "" or what the choice of region leaves open
    bool speed_in_mph = false;
    survey::MapPicture map_picture; ///< where it was asked for; else empty
};

/// A route file that could not be used, where others could.
struct NotRead {
    std::string path, why;
};

struct Assessment {
    std::vector<map::Source> sources;
    std::string region, party;
    std::optional<int> walkers, group_size; ///< all of the party, and who cross together; none: not said
    std::optional<bool> step_free;          ///< whether the party needs a way without steps
    std::vector<rules::SetName> rule_sets;
    std::int64_t date_s = 0;
    std::vector<Assessed> routes;  ///< in the order given
    bool compared = false;         ///< findings carry their state since an earlier result
    bool acceptances_read = false; ///< findings that were accepted say so
    std::vector<NotRead> not_read; ///< of several route files; where all fail assess() throws instead
};

/// The whole chain: read routes, read the map around them once, and for each route match, survey and judge.
/// The result is the same for any number of threads. Throws ArgumentError and DataError.
Assessment assess(const Request& request);

} // namespace waywarden
