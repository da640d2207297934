#include "map/surroundings.hpp"

#include "map/corridor_net.hpp"
#include "map/prepared_code.hpp"

#include <osmium/osm/tag.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace waywarden::map {

namespace {

using Word = std::string_view;

// The place in this list is part of a cell's key.
constexpr std::array<Word, 27> k_classes{
    "motorway",      "motorway_link",  "trunk",      "trunk_link",    "primary",      "primary_link",
    "secondary",     "secondary_link", "tertiary",   "tertiary_link", "unclassified", "residential",
    "living_street", "service",        "road",       "track",         "path",         "footway",
    "bridleway",     "cycleway",       "steps",      "pedestrian",    "byway",        "busway",
    "corridor",      "bus_guideway",   "via_ferrata"};

std::size_t class_of(Word highway) {
    return static_cast<std::size_t>(std::find(k_classes.begin(), k_classes.end(), highway) -
                                    k_classes.begin());
}

bool begins(Word key, Word with) {
    return key.substr(0, with.size()) == with;
}
bool says_pavement(Word key) {
    return begins(key, "sidewalk") || key == "pavement";
}
bool says_speed(Word key) {
    return begins(key, "maxspeed") || key == "source:maxspeed" || key == "zone:maxspeed";
}
bool says_right(Word key) {
    return key == "foot" || key == "designation" || key == "access";
}

constexpr double k_rows_per_deg = 200, k_columns_per_deg = 100;
constexpr double k_m_per_deg = 111132; // of latitude, on average
constexpr std::uint64_t k_bits_of_column = 24, k_bits_of_class = 8;

std::uint64_t key_of(geo::Position p, std::uint64_t class_number) {
    const auto row = static_cast<std::uint64_t>((p.lat_deg + 90) * k_rows_per_deg);
    const auto column = static_cast<std::uint64_t>((p.lon_deg + 180) * k_columns_per_deg);
    return ((row << k_bits_of_column | column) << k_bits_of_class) | class_number;
}

/// Good to 0.5 %, which is enough for a share.
double length_m(geo::Position a, geo::Position b) {
    const double north = (b.lat_deg - a.lat_deg) * k_m_per_deg;
    const double east = (b.lon_deg - a.lon_deg) * k_m_per_deg * std::cos(a.lat_deg * std::numbers::pi / 180);
    return std::hypot(north, east);
}

} // namespace

void TaggedLength::add(const TaggedLength& other) {
    all_cm += other.all_cm;
    pavement_cm += other.pavement_cm;
    speed_cm += other.speed_cm;
    lit_cm += other.lit_cm;
    right_cm += other.right_cm;
    surface_cm += other.surface_cm;
}

bool Tallies::counts(const osmium::TagList& tags) {
    const char* highway = tags.get_value_by_key("highway");
    return highway && class_of(highway) < k_classes.size();
}

Tallies::Way::Way(Tallies& tallies, const osmium::TagList& tags)
    : m_tallies(tallies), m_class(class_of(tags.get_value_by_key("highway", ""))) {
    for (const osmium::Tag& tag : tags) {
        const Word key = tag.key();
        m_pavement = m_pavement || says_pavement(key);
        m_speed = m_speed || says_speed(key);
        m_lit = m_lit || key == "lit";
        m_right = m_right || says_right(key);
        m_surface = m_surface || key == "surface";
    }
}

void Tallies::Way::piece(geo::Position from, geo::Position to) {
    const double metres = length_m(from, to);
    if (metres > k_longest_piece_m) return;
    const std::uint64_t key = key_of(from, m_class);
    if (!m_last || key != m_last_key) m_last = &m_tallies.m_cells[key];
    m_last_key = key;
    const auto cm = static_cast<std::uint64_t>(std::llround(metres * 100));
    m_last->all_cm += cm;
    if (m_pavement) m_last->pavement_cm += cm;
    if (m_speed) m_last->speed_cm += cm;
    if (m_lit) m_last->lit_cm += cm;
    if (m_right) m_last->right_cm += cm;
    if (m_surface) m_last->surface_cm += cm;
}

void Tallies::absorb(const Tallies& other) {
    for (const auto& [key, length] : other.m_cells)
        m_cells[key].add(length);
}

geo::Position Tallies::middle_of(std::uint64_t key) {
    const std::uint64_t cell = key >> k_bits_of_class;
    const auto row = static_cast<double>(cell >> k_bits_of_column);
    const auto column = static_cast<double>(cell & ((std::uint64_t{1} << k_bits_of_column) - 1));
    return {(column + 0.5) / k_columns_per_deg - 180, (row + 0.5) / k_rows_per_deg - 90};
}

TaggedLengths Tallies::within(const Corridor& corridor) const {
    const CorridorNet net(corridor, corridor.shares_m);
    TaggedLengths out;
    for (const auto& [key, length] : m_cells) {
        if (!net.holds(middle_of(key))) continue;
        const std::size_t of_class = key & ((1u << k_bits_of_class) - 1);
        if (of_class >= k_classes.size()) throw Damaged("a sum of lengths is for no class of road");
        out[std::string(k_classes[of_class])].add(length);
    }
    return out;
}

void Layers::take_way(const osmium::TagList& tags) {
    if (pavement && speed && lit && right && surface && grade && water && barrier && cliff) return;
    const bool highway = tags.has_key("highway");
    for (const osmium::Tag& tag : tags) {
        const Word key = tag.key(), value = tag.value();
        pavement = pavement || (highway && says_pavement(key));
        speed = speed || (highway && says_speed(key));
        lit = lit || (highway && key == "lit");
        right = right || (highway && says_right(key));
        surface = surface || (highway && key == "surface");
        grade = grade || key == "sac_scale";
        water = water || key == "waterway" || (key == "natural" && value == "water");
        barrier = barrier || key == "barrier";
        cliff = cliff || (key == "natural" && value == "cliff");
    }
}

void Layers::take_node(const osmium::TagList& tags) {
    if (crossing && gate) return;
    for (const osmium::Tag& tag : tags) {
        const Word key = tag.key(), value = tag.value();
        crossing = crossing || key == "crossing" || (key == "highway" && value == "crossing");
        gate = gate || key == "barrier";
    }
}

void Layers::absorb(const Layers& other) {
    pavement |= other.pavement;
    speed |= other.speed;
    lit |= other.lit;
    right |= other.right;
    surface |= other.surface;
    grade |= other.grade;
    water |= other.water;
    barrier |= other.barrier;
    cliff |= other.cliff;
    crossing |= other.crossing;
    gate |= other.gate;
}

} // namespace waywarden::map
