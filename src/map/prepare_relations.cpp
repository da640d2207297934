#include "map/prepare_relations.hpp"

#include "map/interest.hpp"
#include "map/newest.hpp"
#include "map/prepared_cells.hpp"

#include <osmium/area/assembler.hpp>

#include <algorithm>

namespace waywarden::map {

namespace {

std::int64_t seconds_of(const osmium::OSMObject& object) {
    return object.timestamp().valid() ? static_cast<std::int64_t>(object.timestamp().seconds_since_epoch())
                                      : 0;
}

/// Whether rings can be made of the ways of a relation that is whole.
bool can_be_assembled(const PlainRelation& relation) {
    osmium::memory::Buffer buffer(4096, osmium::memory::Buffer::auto_grow::yes);
    add_to(buffer, 1, relation);
    for (const PlainMember& member : relation.members) {
        CodeReader in(member.bytes);
        PlainWay way;
        way.id = member.way;
        read_way(in, way);
        add_to(buffer, way);
        buffer.commit();
    }
    std::vector<const osmium::Way*> ways;
    for (const osmium::Way& way : buffer.select<osmium::Way>())
        ways.push_back(&way);
    if (ways.empty()) return true; // nothing is told of it
    osmium::memory::Buffer out(4096, osmium::memory::Buffer::auto_grow::yes);
    const osmium::area::AssemblerConfig config;
    osmium::area::Assembler assembler(config);
    assembler(*buffer.select<osmium::Relation>().begin(), ways, out);
    for (const osmium::Area& area : out.select<osmium::Area>())
        if (!area.outer_rings().empty()) return true;
    return false;
}

} // namespace

void RelationBook::add(RelationLook&& look) {
    m_buffer.add_buffer(look.relations);
    m_buffer.commit();
    m_deleted.insert(m_deleted.end(), look.deleted.begin(), look.deleted.end());
    m_count += look.count;
}

void RelationBook::close() {
    for (const osmium::Relation* relation : newest_by_id<osmium::Relation>(m_buffer, m_deleted)) {
        std::uint32_t place = 0;
        for (const osmium::RelationMember& member : relation->members())
            if (member.type() == osmium::item_type::way)
                m_memberships.push_back(
                    {member.ref(), static_cast<std::uint32_t>(m_relations.size()), place++});
        m_relations.push_back(relation);
    }
    std::sort(m_memberships.begin(), m_memberships.end(),
              [](const Membership& a, const Membership& b) { return a.way < b.way; });
}

std::span<const RelationBook::Membership> RelationBook::memberships_of(std::int64_t way) const {
    const auto first = std::lower_bound(m_memberships.begin(), m_memberships.end(), way,
                                        [](const Membership& m, std::int64_t id) { return m.way < id; });
    auto last = first;
    while (last != m_memberships.end() && last->way == way)
        ++last;
    return {first, last};
}

void RelationBook::add_member(std::span<const Membership> memberships, const PlainWay& way,
                              RecordSorter& members) {
    if (memberships.empty()) return;
    std::string bytes;
    write_way(way, bytes);
    for (const Membership& membership : memberships)
        members.add(membership.relation, membership.place, bytes);
}

void RelationBook::write(std::vector<RecordSorter>& members, RecordSorter& out) const {
    std::size_t next = 0;
    std::vector<std::string> ways; ///< of the relation `next`, by place; empty where lacking
    const auto write_up_to = [&](std::size_t relation) {
        for (; next < relation; ++next) {
            write_one(*m_relations[next], ways, out);
            ways.clear();
        }
    };
    RecordSorter::merge(members, [&](std::uint64_t relation, std::int64_t place, std::string_view bytes) {
        write_up_to(static_cast<std::size_t>(relation));
        ways.resize(std::max(ways.size(), static_cast<std::size_t>(place) + 1));
        ways[static_cast<std::size_t>(place)] = bytes;
    });
    write_up_to(m_relations.size());
}

void RelationBook::write_one(const osmium::Relation& relation, const std::vector<std::string>& ways,
                             RecordSorter& out) const {
    PlainRelation plain;
    plain.whole = true;
    plain.edited_s = seconds_of(relation);
    std::string tags;
    write_tags(relation.tags(), tags);
    plain.tags = tags;
    std::size_t place = 0;
    for (const osmium::RelationMember& member : relation.members()) {
        if (member.type() != osmium::item_type::way) continue;
        PlainMember& kept = plain.members.emplace_back();
        kept.way = member.ref();
        kept.role = member.role();
        if (place < ways.size()) kept.bytes = ways[place];
        ++place;
        if (kept.bytes.empty()) {
            plain.whole = false;
            continue;
        }
        PlainWay way;
        CodeReader in(kept.bytes);
        read_way(in, way);
        plain.whole = plain.whole && way.whole();
        plain.box.add(way.box());
    }
    // A danger that is not whole, or that no area can be made of, is told of everywhere; water of which
    // nothing is known too; another such only near what is known of it.
    const bool has_place = plain.box.west <= plain.box.east;
    const bool told_everywhere =
        (is_danger_area(relation.tags()) && (!plain.whole || !has_place || !can_be_assembled(plain))) ||
        (is_wet_area(relation.tags()) && !has_place);
    if (!told_everywhere && !has_place) return;
    std::string bytes;
    write_relation(plain, bytes);
    out.add(told_everywhere ? cell_of_everywhere(Layer::relations) : cell_of(Layer::relations, plain.box),
            relation.id(), bytes);
}

} // namespace waywarden::map
