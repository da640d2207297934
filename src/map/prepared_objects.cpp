#include "map/prepared_objects.hpp"

#include <osmium/builder/osm_object_builder.hpp>

#include <algorithm>

namespace waywarden::map {

namespace {

constexpr unsigned k_member = 1, k_deleted_node = 2, k_lacks_nodes = 4; // flags of a way

std::int32_t coordinate(std::int64_t value) {
    if (value < INT32_MIN || value > INT32_MAX) throw Damaged("a place is off the globe");
    return static_cast<std::int32_t>(value);
}

/// A key, a value or a role. libosmium ends them with a zero byte, and takes no more than this many.
std::string_view word(CodeReader& in) {
    const std::string_view text = in.text();
    if (text.size() > osmium::max_osm_string_length || text.find('\0') != std::string_view::npos)
        throw Damaged("a text is none that a map can have");
    return text;
}

void put_tags(osmium::memory::Buffer& buffer, osmium::builder::Builder& parent, std::string_view tags) {
    CodeReader in(tags);
    const std::size_t count = in.count();
    if (count == 0) return;
    osmium::builder::TagListBuilder builder(buffer, &parent);
    for (std::size_t i = 0; i < count; ++i) {
        const std::string_view key = word(in), value = word(in);
        builder.add_tag(key.data(), key.size(), value.data(), value.size());
    }
}

template <class Object> void put_head(Object& object, std::int64_t id, std::int64_t edited_s) {
    object.set_id(id).set_version(1).set_visible(true).set_timestamp(
        osmium::Timestamp(static_cast<std::uint32_t>(edited_s)));
}

} // namespace

osmium::Location location_of(std::int64_t x, std::int64_t y) {
    return {coordinate(x), coordinate(y)};
}

std::int64_t time_of_edit(std::int64_t seconds) {
    if (seconds < 0 || seconds > UINT32_MAX) throw Damaged("a time of an edit is none that a map can have");
    return seconds;
}

void put_record(std::string& part, std::int64_t& last_id, std::int64_t id, std::string_view bytes) {
    CodeWriter out(part);
    out.difference(step(last_id, id));
    out.text(bytes);
    last_id = id;
}

bool PlainWay::whole() const {
    return std::all_of(places.begin(), places.end(), [](osmium::Location p) { return p.is_defined(); });
}

UnitBox PlainWay::box() const {
    UnitBox box;
    for (const osmium::Location p : places)
        if (p.is_defined()) box.add({p.x(), p.y(), p.x(), p.y()});
    return box;
}

void write_tags(const osmium::TagList& tags, std::string& out) {
    CodeWriter code(out);
    code.number(tags.size());
    for (const osmium::Tag& tag : tags) {
        code.text(tag.key());
        code.text(tag.value());
    }
}

void write_tags(const Tags& tags, std::string& out) {
    CodeWriter code(out);
    code.number(tags.pairs().size());
    for (const auto& [key, value] : tags.pairs()) {
        code.text(key);
        code.text(value);
    }
}

Tags read_tags(CodeReader& in) {
    std::vector<std::pair<std::string, std::string>> pairs(in.count());
    for (auto& [key, value] : pairs) {
        key = word(in);
        value = word(in);
    }
    return Tags(std::move(pairs));
}

void write_way(const PlainWay& way, std::string& out) {
    CodeWriter code(out);
    const bool whole = way.whole();
    code.number((way.is_member ? k_member : 0u) | (way.has_deleted_node ? k_deleted_node : 0u) |
                (whole ? 0u : k_lacks_nodes));
    code.number(way.nodes.size());
    std::int64_t last = 0;
    for (const std::int64_t id : way.nodes) {
        code.difference(step(last, id));
        last = id;
    }
    if (!whole)
        for (const osmium::Location p : way.places)
            code.number(p.is_defined() ? 1 : 0);
    osmium::Location before(0, 0);
    for (const osmium::Location p : way.places) {
        if (!p.is_defined()) continue;
        code.difference(std::int64_t{p.x()} - before.x());
        code.difference(std::int64_t{p.y()} - before.y());
        before = p;
    }
    code.number(static_cast<std::uint64_t>(way.edited_s));
    out += way.tags;
}

void read_way(CodeReader& in, PlainWay& way) {
    const std::uint64_t flags = in.number();
    way.is_member = flags & k_member;
    way.has_deleted_node = flags & k_deleted_node;
    way.nodes.resize(in.count());
    way.places.assign(way.nodes.size(), osmium::Location{});
    std::int64_t last = 0;
    for (std::int64_t& id : way.nodes)
        id = last = after(last, in.difference());
    std::vector<bool> known;
    if (flags & k_lacks_nodes)
        for (std::size_t i = 0; i < way.nodes.size(); ++i)
            known.push_back(in.number() == 1);
    std::int64_t x = 0, y = 0;
    for (std::size_t i = 0; i < way.nodes.size(); ++i) {
        if (!known.empty() && !known[i]) continue;
        x = after(x, in.difference());
        y = after(y, in.difference());
        way.places[i] = location_of(x, y);
    }
    way.edited_s = time_of_edit(static_cast<std::int64_t>(in.number()));
    way.tags = in.bytes(in.left());
}

void add_to(osmium::memory::Buffer& buffer, const PlainWay& way) {
    osmium::builder::WayBuilder builder(buffer);
    put_head(builder.object(), way.id, way.edited_s);
    builder.set_user("");
    put_tags(buffer, builder, way.tags);
    osmium::builder::WayNodeListBuilder nodes(buffer, &builder);
    for (std::size_t i = 0; i < way.nodes.size(); ++i)
        nodes.add_node_ref(osmium::NodeRef(way.nodes[i], way.places[i]));
}

void write_tally(const TaggedLength& length, std::string& out) {
    CodeWriter code(out);
    for (const std::uint64_t cm : {length.all_cm, length.pavement_cm, length.speed_cm, length.lit_cm,
                                   length.right_cm, length.surface_cm})
        code.number(cm);
}

TaggedLength read_tally(CodeReader& in) {
    static_assert(sizeof(TaggedLength) == 6 * sizeof(std::uint64_t), "a new sum must be written too");
    TaggedLength length;
    for (std::uint64_t* cm : {&length.all_cm, &length.pavement_cm, &length.speed_cm, &length.lit_cm,
                              &length.right_cm, &length.surface_cm})
        *cm = in.number();
    return length;
}

void write_node(const PlainNode& node, std::string& out) {
    CodeWriter code(out);
    code.difference(node.place.x());
    code.difference(node.place.y());
    code.number(static_cast<std::uint64_t>(node.edited_s));
    out += node.tags;
}

PlainNode read_node(CodeReader& in) {
    PlainNode node;
    const std::int64_t x = in.difference(), y = in.difference();
    node.place = location_of(x, y);
    node.edited_s = time_of_edit(static_cast<std::int64_t>(in.number()));
    node.tags = in.bytes(in.left());
    return node;
}

void write_relation(const PlainRelation& relation, std::string& out) {
    CodeWriter code(out);
    code.number(relation.whole ? 1 : 0);
    for (const std::int32_t side :
         {relation.box.west, relation.box.south, relation.box.east, relation.box.north})
        code.difference(side);
    code.number(static_cast<std::uint64_t>(relation.edited_s));
    code.text(relation.tags);
    code.number(relation.members.size());
    std::int64_t last = 0;
    for (const PlainMember& member : relation.members) {
        code.difference(step(last, member.way));
        last = member.way;
        code.text(member.role);
        code.text(member.bytes);
    }
}

PlainRelation read_relation_head(CodeReader& in) {
    PlainRelation relation;
    relation.whole = in.number() == 1;
    for (std::int32_t* side :
         {&relation.box.west, &relation.box.south, &relation.box.east, &relation.box.north})
        *side = coordinate(in.difference());
    return relation;
}

void read_relation_rest(CodeReader& in, PlainRelation& relation) {
    relation.edited_s = time_of_edit(static_cast<std::int64_t>(in.number()));
    relation.tags = in.text();
    relation.members.resize(in.count());
    std::int64_t last = 0;
    for (PlainMember& member : relation.members) {
        member.way = last = after(last, in.difference());
        member.role = word(in);
        member.bytes = in.text();
    }
}

void add_to(osmium::memory::Buffer& buffer, std::int64_t id, const PlainRelation& relation) {
    {
        osmium::builder::RelationBuilder builder(buffer);
        put_head(builder.object(), id, relation.edited_s);
        builder.set_user("");
        put_tags(buffer, builder, relation.tags);
        osmium::builder::RelationMemberListBuilder members(buffer, &builder);
        for (const PlainMember& member : relation.members)
            members.add_member(osmium::item_type::way, member.way, member.role.data(), member.role.size());
    }
    buffer.commit();
}

} // namespace waywarden::map
