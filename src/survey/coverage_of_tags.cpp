#include "survey/coverage_of_tags.hpp"

#include <array>

namespace waywarden::survey {

namespace {

struct Share {
    const char* fact;
    std::uint64_t map::TaggedLength::*part;
};
constexpr std::array<Share, 5> k_shares{{{"pavement_tagged_share", &map::TaggedLength::pavement_cm},
                                         {"speed_tagged_share", &map::TaggedLength::speed_cm},
                                         {"lit_tagged_share", &map::TaggedLength::lit_cm},
                                         {"right_tagged_share", &map::TaggedLength::right_cm},
                                         {"surface_tagged_share", &map::TaggedLength::surface_cm}}};

void set_shares(const map::TaggedLengths& lengths, bool road, Facts& facts) {
    const auto known = lengths.find(facts.text("highway"));
    if (known == lengths.end() || known->second.all_cm == 0) return;
    for (const Share& share : k_shares) {
        const bool of_roads = share.part == &map::TaggedLength::pavement_cm ||
                              share.part == &map::TaggedLength::speed_cm ||
                              share.part == &map::TaggedLength::lit_cm;
        if (of_roads && !road) continue;
        facts.set(share.fact, 100 * static_cast<double>(known->second.*share.part) /
                                  static_cast<double>(known->second.all_cm));
    }
}

bool is_road(map::Access access) {
    return access == map::Access::minor_road || access == map::Access::major_road ||
           access == map::Access::motorway;
}

} // namespace

void set_tag_shares(const map::TaggedLengths& lengths, Survey& out) {
    for (StretchSurvey& stretch : out.stretches) {
        set_shares(lengths, is_road(stretch.reading.access), stretch.reading.facts);
        for (StretchReading& other : stretch.others)
            set_shares(lengths, is_road(other.access), other.facts);
    }
    for (Crossing& crossing : out.crossings)
        if (crossing.of == CrossingOf::road) set_shares(lengths, is_road(crossing.access), crossing.facts);
}

} // namespace waywarden::survey
