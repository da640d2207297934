#pragma once

#include "map/collect.hpp"
#include "map/prepared_objects.hpp"
#include "map/record_sorter.hpp"

#include <span>
#include <vector>

namespace waywarden::map {

/// The relations of the files that are kept in a prepared map, and which ways they are made of.
class RelationBook {
  public:
    void add(RelationLook&& look); ///< of a file
    void close();                  ///< after the last file

    struct Membership {
        std::int64_t way;
        std::uint32_t relation, place; ///< which relation, and the how manyeth of its ways
    };
    std::span<const Membership> memberships_of(std::int64_t way) const;
    std::uint64_t count() const { return m_count; } ///< of relations of any kind

    /// Adds a member way for each of its relations.
    static void add_member(std::span<const Membership> memberships, const PlainWay& way,
                           RecordSorter& members);
    /// Makes the records of the relations out of their ways.
    void write(std::vector<RecordSorter>& members, RecordSorter& out) const;

  private:
    void write_one(const osmium::Relation& relation, const std::vector<std::string>& ways,
                   RecordSorter& out) const;
    osmium::memory::Buffer m_buffer{1024, osmium::memory::Buffer::auto_grow::yes};
    Deleted m_deleted;
    std::uint64_t m_count = 0;
    std::vector<const osmium::Relation*> m_relations; ///< the newest of each
    std::vector<Membership> m_memberships;            ///< by way
};

} // namespace waywarden::map
