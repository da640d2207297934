#include "tiny_map.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <sstream>
#include <stdexcept>

namespace waywarden::twins {

namespace {

constexpr geo::Position k_corner{3.0, 56.0};
constexpr double k_beyond_m = 500;
constexpr const char* k_edited = "2026-06-01T00:00:00Z";
constexpr char k_absent = '?';

/// Words that stand for tags.
const std::map<std::string, TagList> k_words{
    {"footpath", {{"highway", "footway"}, {"designation", "public_footpath"}, {"foot", "designated"}}},
    {"bridleway", {{"highway", "bridleway"}, {"designation", "public_bridleway"}, {"foot", "designated"}}},
    {"street", {{"highway", "residential"}, {"maxspeed", "20 mph"}, {"sidewalk", "both"}}},
};

std::vector<std::string> words_of(std::string_view text) {
    std::istringstream in{std::string(text)};
    std::vector<std::string> out;
    for (std::string word; in >> word;)
        out.push_back(word);
    return out;
}

/// The tags after the letters.
TagList tags_of(const std::vector<std::string>& words) {
    TagList out;
    std::string last;
    for (std::size_t i = 1; i < words.size(); ++i) {
        const auto equals = words[i].find('=');
        if (equals != std::string::npos && equals > 0) {
            last = words[i].substr(0, equals);
            out[last] = words[i].substr(equals + 1);
        } else if (!last.empty()) {
            out[last] += " " + words[i];
        } else if (const auto word = k_words.find(words[i]); word != k_words.end()) {
            out.insert(word->second.begin(), word->second.end());
        } else {
            throw std::invalid_argument("object: no such word for tags: " + words[i]);
        }
    }
    std::erase_if(out, [](const auto& tag) { return tag.second.empty(); });
    return out;
}

std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : text)
        out += std::isalnum(static_cast<unsigned char>(c)) || c == '_' || c == ':' || c == '-' || c == '.'
                   ? std::string(1, c)
                   : fmt::format("%{:x}%", static_cast<unsigned char>(c));
    return out;
}

std::string opl_tags(const TagList& tags) {
    std::string out;
    for (const auto& [key, value] : tags)
        out += fmt::format("{}{}={}", out.empty() ? "" : ",", escaped(key), escaped(value));
    return out;
}

double rounded(double degrees) {
    return std::round(degrees * 1e7) / 1e7;
}

} // namespace

Drawing::Drawing(std::string_view drawing, double metres_per_cell) : m_cell_m(metres_per_cell) {
    std::vector<std::string> rows;
    std::istringstream in{std::string(drawing)};
    for (std::string row; std::getline(in, row);)
        if (row.find_first_not_of(' ') != std::string::npos) rows.push_back(row);
    m_north = static_cast<double>(rows.size());
    for (std::size_t row = 0; row < rows.size(); ++row)
        for (std::size_t i = 0; i < rows[row].size(); ++i) {
            const char c = rows[row][i];
            const auto column = static_cast<double>(i), up = static_cast<double>(rows.size() - 1 - row);
            m_east = std::max(m_east, column);
            if (c == '!') m_east_of_map = column;
            if (c == '.' || c == ' ' || c == '!') continue;
            if (!std::isalnum(static_cast<unsigned char>(c)))
                throw std::invalid_argument(fmt::format("drawing: '{}' is no letter or digit", c));
            if (!m_places.emplace(c, place(column, up)).second)
                throw std::invalid_argument(fmt::format("drawing: '{}' stands there twice", c));
            m_columns[c] = column;
        }
}

geo::Position Drawing::place(double column, double row) const {
    const geo::Position p = geo::LocalFrame(k_corner).to_position({column * m_cell_m, row * m_cell_m});
    return {rounded(p.lon_deg), rounded(p.lat_deg)};
}

geo::Position Drawing::at(char letter) const {
    const auto found = m_places.find(letter);
    if (found == m_places.end())
        throw std::invalid_argument(fmt::format("'{}' is not in the drawing", letter));
    return found->second;
}

TinyMap Drawing::map(const std::vector<std::string>& objects) const {
    TinyMap out;
    const double beyond = k_beyond_m / m_cell_m;
    const double east = m_east_of_map < 1e9 ? m_east_of_map : m_east + beyond;
    std::int64_t corner = 1;
    for (const double x : {-beyond, east})
        for (const double y : {-beyond, m_north + beyond})
            out.nodes.push_back({corner++, place(x, y), {}});
    for (const auto& [letter, position] : m_places)
        if (m_columns.at(letter) < m_east_of_map) out.nodes.push_back({100 + letter, position, {}});
    std::int64_t way = 1;
    for (const std::string& object : objects) {
        const auto words = words_of(object);
        const std::string& letters = words.at(0);
        for (const char letter : letters)
            if (letter != k_absent) at(letter);
        if (letters.size() == 1) {
            for (MapNode& node : out.nodes)
                if (node.id == 100 + letters[0]) node.tags = tags_of(words);
            continue;
        }
        MapWay& made = out.ways.emplace_back(MapWay{way++, {}, tags_of(words)});
        for (const char letter : letters)
            made.nodes.push_back(letter == k_absent ? 9999 : 100 + letter);
    }
    return out;
}

std::string opl_of(const TinyMap& map) {
    std::string out;
    for (const MapNode& node : map.nodes)
        out += fmt::format("n{} v1 dV t{} T{} x{:.7f} y{:.7f}\n", node.id, k_edited, opl_tags(node.tags),
                           node.position.lon_deg, node.position.lat_deg);
    for (const MapWay& way : map.ways) {
        out += fmt::format("w{} v1 dV t{} T{} N", way.id, k_edited, opl_tags(way.tags));
        for (std::size_t i = 0; i < way.nodes.size(); ++i)
            out += fmt::format("{}n{}", i == 0 ? "" : ",", way.nodes[i]);
        out += '\n';
    }
    for (const MapRelation& relation : map.relations) {
        out += fmt::format("r{} v1 dV t{} T{},type=multipolygon M", relation.id, k_edited,
                           opl_tags(relation.tags));
        for (std::size_t i = 0; i < relation.outer.size(); ++i)
            out += fmt::format("{}w{}@outer", i == 0 ? "" : ",", relation.outer[i]);
        out += '\n';
    }
    return out;
}

std::string gpx_of(const Drawing& drawing, std::string_view walk, double every_m, const std::string& more) {
    std::string out = "<gpx version=\"1.1\" creator=\"twins\" xmlns=\"http://www.topografix.com/GPX/1/1\">" +
                      more + "<trk><trkseg>\n";
    // Heights, so that times can be told; a file in which all are the same is not believed.
    int height_m = 20;
    const auto point = [&](geo::Position p) {
        height_m = height_m == 20 ? 21 : 20;
        out += fmt::format("<trkpt lat=\"{:.7f}\" lon=\"{:.7f}\"><ele>{}</ele></trkpt>\n", p.lat_deg,
                           p.lon_deg, height_m);
    };
    std::vector<geo::Position> last;
    for (std::size_t i = 0; i < walk.size(); ++i) {
        if (walk[i] == ' ') {
            out += "</trkseg><trkseg>\n";
            last.clear();
            continue;
        }
        const bool exchanged = walk[i] == '%';
        const geo::Position p = walk[i] == '@' ? geo::Position{0, 0} : drawing.at(walk[i += exchanged]);
        if (exchanged || walk[i] == '@') {
            point(exchanged ? geo::Position{p.lat_deg, p.lon_deg} : p);
            last.clear();
            continue;
        }
        const int parts =
            last.empty() || every_m <= 0
                ? 1
                : std::max(1, static_cast<int>(std::ceil(geo::distance_m(last.front(), p) / every_m)));
        for (int k = last.empty() ? parts : 1; k <= parts; ++k) {
            const double share = static_cast<double>(k) / parts;
            const geo::Position from = last.empty() ? p : last.front();
            point({from.lon_deg + share * (p.lon_deg - from.lon_deg),
                   from.lat_deg + share * (p.lat_deg - from.lat_deg)});
        }
        last = {p};
    }
    return out + "</trkseg></trk></gpx>\n";
}

} // namespace waywarden::twins
