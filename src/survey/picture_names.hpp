#pragma once

#include "survey/map_picture.hpp"

/// The names a map is written with.
namespace waywarden::survey {

/// Collects names; of those of one road or river, cut into many ways, only the longest piece is written on.
class PictureNames {
  public:
    explicit PictureNames(const geo::LocalFrame& frame) : m_frame(frame) {}
    void add_place(const map::TaggedNode& node);
    void add_area(const map::Object& object, PictureClass of, const std::vector<geo::Metres2>& ring);
    void add_line(const map::Object& object, PictureClass of, const std::vector<geo::Metres2>& line);
    std::vector<PictureName> take() &&; ///< by weight, the greatest first

  private:
    void keep_heaviest(PictureName name);
    geo::LocalFrame m_frame;
    std::vector<PictureName> m_names;
};

} // namespace waywarden::survey
