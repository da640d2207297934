#include "cli/route_files.hpp"

#include "error.hpp"
#include "route/card_read.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace waywarden::cli {

namespace fs = std::filesystem;

namespace {

std::string lower_ending(const fs::path& path) {
    std::string ending = path.extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return ending;
}

bool is_line_file(const fs::path& path) {
    const std::string ending = lower_ending(path);
    return ending == ".gpx" || ending == ".geojson" || ending == ".kml";
}

/// This program's own tables are laid out much like cards.
bool is_own_table(const fs::path& path) {
    const std::string kind = lower_ending(path.stem());
    return kind == ".legs" || kind == ".card" || path.stem() == "summary";
}

bool same_stem(const std::string& a, const std::string& b) {
    return fs::path(a).replace_extension() == fs::path(b).replace_extension();
}

/// Cards beside lines of the same stem belong to them; the others stand for themselves.
void share_out_cards(std::vector<std::string> tables, RouteFiles& out) {
    std::sort(tables.begin(), tables.end());
    for (const std::string& table : tables) {
        if (is_own_table(table) || !route::looks_like_card(table)) {
            out.left_out.push_back(table);
            continue;
        }
        bool belongs = false;
        for (std::size_t i = 0; i < out.routes.size(); ++i) {
            if (!same_stem(out.routes[i], table) || !is_line_file(out.routes[i])) continue;
            if (!out.cards[i].empty())
                throw ArgumentError(
                    fmt::format("{}: {} is a card of the same line; leave one of them in the folder", table,
                                out.cards[i]));
            out.cards[i] = table;
            belongs = true;
        }
        if (belongs) continue;
        out.routes.push_back(table);
        out.cards.emplace_back();
    }
}

RouteFiles in_folder(const std::string& folder) {
    RouteFiles out;
    std::vector<std::string> tables;
    try {
        for (const fs::directory_entry& entry : fs::recursive_directory_iterator(folder)) {
            if (entry.is_directory()) continue;
            const std::string path = entry.path().string();
            if (is_line_file(entry.path()))
                out.routes.push_back(path);
            else
                (route::is_card_file(path) ? tables : out.left_out).push_back(path);
        }
    } catch (const fs::filesystem_error& e) {
        throw ArgumentError(fmt::format("{}: the folder cannot be read ({}); check its permissions", folder,
                                        e.code().message()));
    }
    std::sort(out.routes.begin(), out.routes.end());
    out.cards.resize(out.routes.size());
    share_out_cards(std::move(tables), out);
    if (out.routes.empty())
        throw ArgumentError(fmt::format(
            "{}: the folder holds no route file (.gpx, .geojson or .kml); name the files", folder));
    std::sort(out.left_out.begin(), out.left_out.end());
    return out;
}

void give_card(const std::string& card, RouteFiles& out) {
    if (card.empty()) return;
    if (out.routes.size() != 1 || route::is_card_file(out.routes.front()))
        throw ArgumentError(fmt::format("--card {}: goes with one line; name one route file", card));
    out.cards.front() = card;
}

} // namespace

RouteFiles route_files(const std::vector<std::string>& given, const std::string& card) {
    RouteFiles out;
    for (const std::string& path : given) {
        std::error_code failed;
        RouteFiles files{{path}, {""}, {}};
        if (fs::is_directory(path, failed)) files = in_folder(path);
        for (std::size_t i = 0; i < files.routes.size(); ++i) {
            const std::string& file = files.routes[i];
            if (std::find(out.routes.begin(), out.routes.end(), file) != out.routes.end())
                throw ArgumentError(fmt::format("{}: the route is given twice; name it once", file));
            out.routes.push_back(file);
            out.cards.push_back(files.cards[i]);
        }
        out.left_out.insert(out.left_out.end(), files.left_out.begin(), files.left_out.end());
    }
    give_card(card, out);
    return out;
}

} // namespace waywarden::cli
