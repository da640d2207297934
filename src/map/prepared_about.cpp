#include "map/prepared_about.hpp"

#include "map/prepared_code.hpp"

#include <fmt/format.h>

#include <array>

namespace waywarden::map {

namespace {

constexpr std::uint64_t k_many_ways =
    1'000; // common practice, no source: extracts have a relation for every hundred ways or so

void put(CodeWriter& out, const std::optional<Box>& box) {
    out.number(box ? 1 : 0);
    if (!box) return;
    for (const double side : {box->west_deg, box->south_deg, box->east_deg, box->north_deg})
        out.real(side);
}

std::optional<Box> box_from(CodeReader& in) {
    if (in.number() == 0) return std::nullopt;
    Box box;
    for (double* side : {&box.west_deg, &box.south_deg, &box.east_deg, &box.north_deg})
        *side = in.real();
    return box;
}

/// In the order in which they are written.
template <class L> auto flags_of(L& layers) {
    static_assert(sizeof(Layers) == 11, "a new layer must be written too, and the edition goes up");
    return std::array{&layers.pavement, &layers.speed,    &layers.lit,   &layers.right,
                      &layers.surface,  &layers.grade,    &layers.water, &layers.barrier,
                      &layers.cliff,    &layers.crossing, &layers.gate};
}

} // namespace

std::string to_code(const PreparedAbout& about) {
    std::string code;
    CodeWriter out(code);
    out.number(about.sources.size());
    for (const Source& source : about.sources) {
        out.text(source.path);
        out.text(source.data_until.value_or("")); // no date is the empty text
        out.number(source.data_until_from_header ? 1 : 0);
        put(out, source.bounds);
        put(out, source.node_bounds);
        out.text(source.attribution);
    }
    out.number(about.relations);
    out.number(about.ways);
    for (const bool* flag : flags_of(about.layers))
        out.number(*flag ? 1 : 0);
    return code;
}

PreparedAbout about_from(std::string_view code) {
    CodeReader in(code);
    PreparedAbout about;
    about.sources.resize(in.count());
    for (Source& source : about.sources) {
        source.path = in.text();
        if (const std::string_view date = in.text(); !date.empty()) source.data_until = date;
        source.data_until_from_header = in.number() == 1;
        source.bounds = box_from(in);
        source.node_bounds = box_from(in);
        source.attribution = in.text();
        if (source.attribution.empty() || source.attribution.size() > k_longest_attribution)
            throw Damaged("an attribution that no map has");
    }
    about.relations = in.number();
    about.ways = in.number();
    for (bool* flag : flags_of(about.layers))
        *flag = in.number() == 1;
    return about;
}

void tell_if_cut_short(std::uint64_t relations, std::uint64_t ways, Ground& ground) {
    if (relations > 0 || ways <= k_many_ways) return;
    Shortfall shortfall;
    shortfall.text =
        fmt::format("the map holds {} ways and no relation: it was probably cut short, and large "
                    "areas are missing; fetch or make it again",
                    ways);
    ground.shortfalls.push_back(std::move(shortfall));
}

} // namespace waywarden::map
