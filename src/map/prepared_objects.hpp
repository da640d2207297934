#pragma once

#include "map/collect.hpp"
#include "map/prepared_code.hpp"

#include <osmium/memory/buffer.hpp>
#include <osmium/osm/relation.hpp>
#include <osmium/osm/way.hpp>

#include <cstdint>
#include <string>
#include <vector>

/// How objects are written one by one, as records: while a map is prepared, and in some layers of it for
/// good. Records stand in a row, each with its id as the difference to the one before, its size and so many
/// bytes.
namespace waywarden::map {

/// Throws Damaged where the numbers are too large for a coordinate.
osmium::Location location_of(std::int64_t x, std::int64_t y);

/// Seconds, as libosmium can hold them: 32 bits. Throws Damaged.
std::int64_t time_of_edit(std::int64_t seconds);

void put_record(std::string& part, std::int64_t& last_id, std::int64_t id, std::string_view bytes);

/// Calls `take(id, bytes)` for each record of a part. Throws Damaged.
template <class Take> void for_each_record(std::string_view part, Take&& take) {
    CodeReader in(part);
    for (std::int64_t id = 0; !in.at_end();) {
        id = after(id, in.difference());
        take(id, in.text());
    }
}

/// A way with its nodes. Of a node that the map lacks the location is undefined.
struct PlainWay {
    std::int64_t id = 0;
    bool is_member = false;        ///< of a relation that is kept
    bool has_deleted_node = false; ///< a node of which the map says that it is gone, not merely lacking
    std::int64_t edited_s = 0;
    std::vector<std::int64_t> nodes;
    std::vector<osmium::Location> places; ///< as many
    std::string_view tags;                ///< in code

    bool closed() const { return nodes.size() > 3 && nodes.front() == nodes.back(); }
    bool whole() const;
    UnitBox box() const; ///< of the known places; empty where there is none
};

void write_way(const PlainWay& way, std::string& out);
/// Into a way that was used before, whose memory is used again. `way.id` is left alone.
void read_way(CodeReader& in, PlainWay& way);

void write_tags(const osmium::TagList& tags, std::string& out);
void write_tags(const Tags& tags, std::string& out);
Tags read_tags(CodeReader& in);

/// Adds a way as libosmium has it, not yet committed.
void add_to(osmium::memory::Buffer& buffer, const PlainWay& way);

struct PlainNode {
    std::int64_t edited_s = 0;
    osmium::Location place;
    std::string_view tags; ///< in code
};
void write_node(const PlainNode& node, std::string& out);
PlainNode read_node(CodeReader& in);

struct PlainMember {
    std::int64_t way = 0;
    std::string_view role;
    std::string_view bytes; ///< the way, in code; empty where the map lacks it
};
/// A relation with its ways.
struct PlainRelation {
    UnitBox box;        ///< of all known places of its ways
    bool whole = false; ///< neither a way nor a node is lacking
    std::int64_t edited_s = 0;
    std::string_view tags; ///< in code
    std::vector<PlainMember> members;
};
void write_relation(const PlainRelation& relation, std::string& out);
/// The box and whether it is whole stand first, so that the rest need not be read.
PlainRelation read_relation_head(CodeReader& in);
void read_relation_rest(CodeReader& in, PlainRelation& relation);
void write_tally(const TaggedLength& length, std::string& out);
TaggedLength read_tally(CodeReader& in);

/// Adds and commits a relation as libosmium has it, with its ways as members; the ways themselves are not
/// added.
void add_to(osmium::memory::Buffer& buffer, std::int64_t id, const PlainRelation& relation);

} // namespace waywarden::map
