#pragma once

#include "map/place_book.hpp"
#include "map/prepare_relations.hpp"
#include "map/prepared_cells.hpp"

#include <unordered_map>

namespace waywarden::map {

/// Which of several versions of a way counts, where files may hold more than one.
class WayChoice {
  public:
    void add(const osmium::Way& way, std::size_t file, bool is_member);
    void close();
    bool takes(const osmium::Way& way, std::size_t file) const;

  private:
    struct Claim {
        std::int64_t id;
        osmium::object_version_type version;
        std::size_t file;
    };
    std::vector<Claim> m_claims;
    Deleted m_deleted;
    std::unordered_map<std::int64_t, Claim> m_disputed; ///< the claim that won; version 0, no file: none
};

/// Takes every way of a file, or of a part of it, and makes records of those that can matter.
class PreparingWays {
  public:
    PreparingWays(const PlaceBook& places, const RelationBook& relations, const WayChoice& choice,
                  std::size_t file, RecordSorter& records, RecordSorter& members)
        : m_finder(places), m_relations(relations), m_choice(choice), m_file(file), m_records(records),
          m_members(members) {}
    void take(const osmium::Way& way);
    void flush(); ///< after the last way

    std::uint64_t count = 0;
    std::int64_t newest_s = 0;
    Layers layers;

  private:
    void find_places(const osmium::Way& way);
    void tally(const osmium::Way& way);
    void add_record(bool is_road);

    PlaceBook::Finder m_finder;
    const RelationBook& m_relations;
    const WayChoice& m_choice;
    std::size_t m_file;
    RecordSorter& m_records;
    RecordSorter& m_members;
    Tallies m_tallies;
    PlainWay m_way;
    std::string m_tags, m_bytes;
};

} // namespace waywarden::map
