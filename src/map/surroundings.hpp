#pragma once

#include "geo/position.hpp"

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <unordered_map>

namespace osmium {
class TagList;
}

/// What is known of the map around the part that is read: how much of it says what, which tells what its
/// silence is worth.
namespace waywarden::map {

struct Corridor;

/// Centimetres of ways of one class, and of those that carry a tag; a tag that says "no" is carried too.
/// Whole numbers, so that sums do not depend on the order of adding.
struct TaggedLength {
    std::uint64_t all_cm = 0, pavement_cm = 0, speed_cm = 0, lit_cm = 0, right_cm = 0, surface_cm = 0;
    void add(const TaggedLength& other);
    friend bool operator==(const TaggedLength&, const TaggedLength&) = default;
};

/// By the value of `highway`.
using TaggedLengths = std::map<std::string, TaggedLength, std::less<>>;

/// Lengths of roads and paths by cells of about 550 m of latitude that stand fixed on the globe, so that
/// those near a route are the same whatever else is read.
class Tallies {
  public:
    /// The classes that are counted; any other value of `highway` is not.
    static bool counts(const osmium::TagList& tags);

    /// A way piece by piece. A piece counts in the cell of its first node, and not at all where it is
    /// longer than `k_longest_piece_m`: its other end may lie outside what was read.
    class Way {
      public:
        Way(Tallies& tallies, const osmium::TagList& tags);
        void piece(geo::Position from, geo::Position to);

      private:
        Tallies& m_tallies;
        std::uint64_t m_class = 0;
        bool m_pavement = false, m_speed = false, m_lit = false, m_right = false, m_surface = false;
        std::uint64_t m_last_key = 0;
        TaggedLength* m_last = nullptr;
    };

    void absorb(const Tallies& other);

    /// By a key that stays the same from run to run: for prepared maps.
    const std::unordered_map<std::uint64_t, TaggedLength>& cells() const { return m_cells; }
    void put(std::uint64_t key, const TaggedLength& length) { m_cells[key].add(length); }
    static geo::Position middle_of(std::uint64_t key);

    /// The sums of all cells whose middle is within `corridor.shares_m` of its lines, and some up to 450 m
    /// farther.
    TaggedLengths within(const Corridor& corridor) const;

    static constexpr double k_longest_piece_m = 1000;
    /// How far beyond `shares_m` nodes must be known for the sums to be whole.
    static constexpr double k_margin_m = 2000;

  private:
    friend class Way;
    std::unordered_map<std::uint64_t, TaggedLength> m_cells; ///< by row, column and class
};

/// Which kinds of thing the files hold anywhere at all. What none holds was not mapped, and cannot have been
/// checked.
struct Layers {
    bool pavement = false, speed = false, lit = false, right = false, surface = false, grade = false,
         water = false, barrier = false, cliff = false; ///< on or as ways
    bool crossing = false, gate = false;                ///< as nodes
    /// Looks only for what was not seen yet, so that it costs next to nothing in a rich map.
    void take_way(const osmium::TagList& tags);
    void take_node(const osmium::TagList& tags);
    void absorb(const Layers& other);
    friend bool operator==(const Layers&, const Layers&) = default;
};

} // namespace waywarden::map
