#pragma once

#include "route/route.hpp"

#include <vector>

namespace waywarden::survey {

/// Places on a drawn line by metres, for whoever asks for more than one: the line is measured once. The route
/// must outlive it.
class Along {
  public:
    explicit Along(const route::Route& route);
    /// Of each point, as route::metres_along gives them.
    const std::vector<std::vector<double>>& metres() const { return m_metres; }
    double length_m() const;
    /// The position at a distance along the line, clamped to its ends.
    geo::Position at(double at_m) const;

  private:
    const route::Route& m_route;
    std::vector<std::vector<double>> m_metres;
};

} // namespace waywarden::survey
