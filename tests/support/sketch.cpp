#include "support/sketch.hpp"

#include "geo/position.hpp"
#include "map/read.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <sstream>
#include <stdexcept>

namespace waywarden::test {

namespace {

constexpr geo::Position k_corner{3.0, 56.0};
constexpr const char* k_edited = "2026-06-01T00:00:00Z";

std::vector<std::string> words_of(std::string_view text) {
    std::istringstream in{std::string(text)};
    std::vector<std::string> out;
    for (std::string word; in >> word;)
        out.push_back(word);
    return out;
}

/// As OSM keeps it: whole units of 1e-7 degrees.
double rounded(double degrees) {
    return std::round(degrees * 1e7) / 1e7;
}

struct WalkPart {
    bool begins_segment = false;
    std::string way; ///< "-": open ground
    std::string letters;
};

std::vector<WalkPart> parts_of(std::string_view walk) {
    std::vector<WalkPart> out;
    bool begins = true;
    for (const std::string& word : words_of(walk)) {
        if (word == "|") {
            begins = true;
            continue;
        }
        const auto colon = word.find(':');
        if (colon == std::string::npos || word.size() < colon + 3)
            throw std::invalid_argument("walk: expected WAY:LETTERS with two letters or more, got " + word);
        out.push_back({begins, word.substr(0, colon), word.substr(colon + 1)});
        begins = false;
    }
    return out;
}

} // namespace

Sketch::Sketch(std::string_view drawing, double metres_per_cell, const std::vector<std::string>& objects) {
    draw(drawing, metres_per_cell);
    m_opl = compose(objects);
    const map::Corridor everything{{{k_corner, k_corner}}, 200'000};
    m_ground = map::read_text(m_opl, "opl", everything);
}

void Sketch::draw(std::string_view drawing, double metres_per_cell) {
    std::vector<std::string> rows;
    std::istringstream in{std::string(drawing)};
    for (std::string row; std::getline(in, row);)
        rows.push_back(row);
    const geo::LocalFrame frame(k_corner);
    for (std::size_t row = 0; row < rows.size(); ++row)
        for (std::size_t column = 0; column < rows[row].size(); ++column) {
            const char c = rows[row][column];
            if (c == '.' || std::isspace(static_cast<unsigned char>(c))) continue;
            if (!std::isalnum(static_cast<unsigned char>(c)))
                throw std::invalid_argument(fmt::format("drawing: '{}' is no letter or digit", c));
            const geo::Position p =
                frame.to_position({static_cast<double>(column) * metres_per_cell,
                                   static_cast<double>(rows.size() - 1 - row) * metres_per_cell});
            if (!m_places.emplace(c, geo::Position{rounded(p.lon_deg), rounded(p.lat_deg)}).second)
                throw std::invalid_argument(fmt::format("drawing: '{}' stands there twice", c));
        }
}

std::string Sketch::compose(const std::vector<std::string>& objects) const {
    std::map<char, std::string> node_tags;
    std::vector<std::string> ways, relations;
    for (const std::string& object : objects) {
        std::string line = object.find(" t") == std::string::npos ? object + " t" + k_edited : object;
        if (object.front() == 'n') {
            at(object.at(1));
            node_tags[object.at(1)] = line.substr(2);
            continue;
        }
        std::string out;
        for (const std::string& word : words_of(line)) {
            if (!out.empty()) out += ' ';
            out += word.front() == 'N' ? "N" : word;
            if (word.front() != 'N') continue;
            for (const char letter : word.substr(1)) {
                at(letter);
                out += fmt::format("{}n{}", out.back() == 'N' ? "" : ",", static_cast<int>(letter));
            }
        }
        if (object.front() == 'w')
            ways.push_back(out + " v1 dV");
        else if (object.front() == 'r')
            relations.push_back(out + " v1 dV");
        else
            throw std::invalid_argument("object: begins with none of n, w, r: " + object);
    }
    std::string opl;
    for (const auto& [letter, place] : m_places) {
        const auto tags = node_tags.find(letter);
        opl += fmt::format("n{} v1 dV{} x{:.7f} y{:.7f}\n", static_cast<int>(letter),
                           tags == node_tags.end() ? fmt::format(" t{}", k_edited) : tags->second,
                           place.lon_deg, place.lat_deg);
    }
    const auto by_id = [](const std::string& a, const std::string& b) {
        return std::stoll(a.substr(1)) < std::stoll(b.substr(1));
    };
    std::sort(ways.begin(), ways.end(), by_id);
    std::sort(relations.begin(), relations.end(), by_id);
    for (const auto* lines : {&ways, &relations})
        for (const std::string& line : *lines)
            opl += line + '\n';
    return opl;
}

geo::Position Sketch::at(char letter) const {
    const auto place = m_places.find(letter);
    if (place == m_places.end())
        throw std::invalid_argument(fmt::format("'{}' is not in the drawing", letter));
    return place->second;
}

route::Route Sketch::route(std::string_view letters) const {
    route::Route route;
    route.name = std::string(letters);
    route.path = "sketch";
    route.read_as = "track";
    for (const std::string& run : words_of(letters)) {
        route::Segment segment;
        for (const char letter : run)
            segment.points.push_back({at(letter), std::nullopt, 0});
        route.segments.push_back(segment);
    }
    return route;
}

route::Route Sketch::route_of(std::string_view walk) const {
    std::string letters;
    for (const WalkPart& part : parts_of(walk)) {
        if (part.begins_segment && !letters.empty()) letters += ' ';
        letters += part.begins_segment ? part.letters : part.letters.substr(1);
    }
    return route(letters);
}

map::WayIndex Sketch::way(std::int64_t id) const {
    for (std::size_t i = 0; i < m_ground.ways.size(); ++i)
        if (m_ground.ways[i].object.id.id == id) return static_cast<map::WayIndex>(i);
    throw std::invalid_argument(fmt::format("no way {} on the map", id));
}

match::TracePoint Sketch::point(char letter, double at_m, const map::Way* way) const {
    match::TracePoint out{at(letter), at_m, map::k_no_node};
    if (!way) return out;
    for (const map::NodeIndex node : way->nodes)
        if (m_ground.nodes[node].id == static_cast<int>(letter)) out.node = node;
    return out;
}

match::Trace Sketch::trace(std::string_view walk) const {
    match::Trace trace;
    trace.error_m = 1;
    double at_m = 0;
    for (const WalkPart& part : parts_of(walk)) {
        if (part.begins_segment) trace.segment_starts.push_back(trace.stretches.size());
        match::Stretch stretch;
        if (part.way != "-") stretch.way = way(std::stoll(part.way));
        const map::Way* on = stretch.way ? &m_ground.ways[*stretch.way] : nullptr;
        stretch.from_m = at_m;
        stretch.confidence = 1;
        for (std::size_t i = 0; i < part.letters.size(); ++i) {
            if (i > 0) at_m += geo::distance_m(at(part.letters[i - 1]), at(part.letters[i]));
            stretch.line.push_back(point(part.letters[i], at_m, on));
        }
        stretch.to_m = at_m;
        trace.stretches.push_back(stretch);
    }
    trace.length_m = at_m;
    return trace;
}

double metres_over(const Sketch& sketch, std::string_view letters) {
    double metres = 0;
    for (std::size_t i = 1; i < letters.size(); ++i)
        metres += geo::distance_m(sketch.at(letters[i - 1]), sketch.at(letters[i]));
    return metres;
}

} // namespace waywarden::test
