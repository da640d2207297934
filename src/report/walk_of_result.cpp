#include "report/walk_of_result.hpp"

#include "report/result_values.hpp"

#include <algorithm>

namespace waywarden::report {

namespace {

using rules::Value;

template <class Word> Word word_of(const Value& value, std::initializer_list<Word> all) {
    std::vector<std::string_view> words;
    for (const Word word : all)
        words.emplace_back(to_string(word));
    return all.begin()[value.one_of(words)];
}

map::Access read_access(const Value& value) {
    using map::Access;
    return word_of(value,
                   {Access::footpath, Access::bridleway, Access::byway, Access::cycleway, Access::track,
                    Access::pavement, Access::minor_road, Access::major_road, Access::motorway,
                    Access::railway, Access::water, Access::ferry, Access::open_ground});
}

/// Nothing where the value is not of the fact's type.
std::optional<survey::FactValue> read_fact(const survey::FactSpec& spec, const rules::Json& value) {
    switch (spec.type) {
    case survey::FactType::flag:
        if (value.is_boolean()) return value.get<bool>();
        break;
    case survey::FactType::number:
        if (value.is_number()) return value.get<double>();
        break;
    case survey::FactType::text:
        if (value.is_string()) return value.get<std::string>();
        break;
    case survey::FactType::choice:
        if (value.is_string() && std::find(spec.choices.begin(), spec.choices.end(),
                                           value.get_ref<const std::string&>()) != spec.choices.end())
            return value.get<std::string>();
        break;
    }
    return std::nullopt;
}

survey::Facts read_facts(const Value& value) {
    survey::Facts out;
    for (const auto& [name, fact] : value.members())
        if (const survey::FactSpec* spec = survey::find_fact(name))
            if (auto known = read_fact(*spec, *fact.at)) out.set(name, std::move(*known));
    return out;
}

survey::StretchSurvey read_stretch(const Value& value) {
    survey::StretchSurvey out;
    out.from_m = read_metres(value["from_m"]);
    out.to_m = read_metres(value["to_m"]);
    out.reading.access = read_access(value["access"]);
    if (!value["osm"].at->is_null()) out.reading.osm = read_object(value["osm"]);
    out.reading.name = value["name"].text();
    out.reading.facts = read_facts(value["facts"]);
    for (const Value& point : value["line"].items())
        out.line.push_back({read_position(point), 0, map::k_no_node});
    return out;
}

survey::Crossing read_crossing(const Value& value) {
    using survey::CrossingOf, survey::Means;
    survey::Crossing out;
    out.at_m = read_metres(value["at_m"]);
    out.position = read_position(value["position"]);
    out.of =
        word_of(value["of"], {CrossingOf::road, CrossingOf::rail, CrossingOf::water, CrossingOf::barrier});
    out.access = read_access(value["access"]);
    out.osm = read_object(value["osm"]);
    out.name = value["name"].text();
    out.means = word_of(value["means"], {Means::level, Means::bridge, Means::tunnel, Means::culvert,
                                         Means::ford, Means::ferry, Means::none});
    out.facts = read_facts(value["facts"]);
    return out;
}

survey::Spot read_spot(const Value& value) {
    survey::Spot out;
    out.from_m = read_metres(value["from_m"]);
    out.to_m = read_metres(value["to_m"]);
    out.position = read_position(value["position"]);
    out.name = value["name"].text();
    out.facts = read_facts(value["facts"]);
    return out;
}

} // namespace

void add_walk(const Value& route, survey::Survey& out) {
    for (const Value& one : route["stretches"].items())
        out.stretches.push_back(read_stretch(one));
    for (const Value& one : route["crossings"].items())
        out.crossings.push_back(read_crossing(one));
    for (const Value& one : route["spots"].items())
        out.spots.push_back(read_spot(one));
}

} // namespace waywarden::report
