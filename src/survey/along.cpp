#include "survey/along.hpp"

#include <algorithm>

namespace waywarden::survey {

Along::Along(const route::Route& route) : m_route(route), m_metres(route::metres_along(route)) {}

double Along::length_m() const {
    return m_metres.empty() || m_metres.back().empty() ? 0 : m_metres.back().back();
}

geo::Position Along::at(double at_m) const {
    geo::Position last;
    for (std::size_t s = 0; s < m_metres.size(); ++s) {
        const auto& points = m_route.segments[s].points;
        const auto& metres = m_metres[s];
        const auto reached = std::lower_bound(metres.begin(), metres.end(), at_m);
        if (reached == metres.end()) {
            if (!points.empty()) last = points.back().position;
            continue;
        }
        const auto i = static_cast<std::size_t>(reached - metres.begin());
        if (i == 0 || *reached == at_m) return points[i].position;
        const double share = (at_m - metres[i - 1]) / (metres[i] - metres[i - 1]);
        const geo::Position a = points[i - 1].position, b = points[i].position;
        return {a.lon_deg + share * (b.lon_deg - a.lon_deg), a.lat_deg + share * (b.lat_deg - a.lat_deg)};
    }
    return last;
}

} // namespace waywarden::survey
