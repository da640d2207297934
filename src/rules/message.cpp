#include "rules/message.hpp"

#include "error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>

namespace waywarden::rules {

namespace {

using survey::Facts;
using survey::FactSpec;
using survey::FactType;
using Phrases = std::map<std::string, std::string, std::less<>>;

constexpr std::string_view k_words = "_words";
constexpr std::size_t k_most_values = 3;

/// Phrases of their own for "fact=value"; "fact=" is for an unknown.
const Phrases& phrases() {
    static const Phrases all{
        {"pavement=", "no pavement is recorded"},
        {"pavement=none", "the map says there is no pavement"},
        {"pavement=both", "a pavement is recorded on both sides"},
        {"pavement=left", "a pavement is recorded on one side"},
        {"pavement=right", "a pavement is recorded on one side"},
        {"pavement=yes", "a pavement is recorded"},
        {"pavement=separate", "a pavement is recorded as a way of its own"},
        {"speed_limit=", "a limit that is not recorded"},
        {"speed_limit_source=", "not recorded"},
        {"speed_limit_source=recorded", "recorded on the road"},
        {"speed_limit_source=zone", "from the zone recorded"},
        {"speed_limit_source=presumed", "presumed, not recorded"},
        {"speed_limit_source=unknown", "not recorded"},
        {"facility=none_recorded", "no crossing for walkers is recorded"},
        {"facility=", "no crossing for walkers is recorded"},
        {"facility=signals", "a signal crossing is recorded"},
        {"facility=marked", "a marked crossing is recorded"},
        {"facility=zebra", "a zebra crossing is recorded"},
        {"facility=island", "a refuge in the middle is recorded"},
        {"facility=unmarked", "an unmarked crossing place is recorded"},
        {"facility=other", "a crossing place is recorded, its kind is not"},
        {"rail_protection=", "its protection is not recorded"},
        {"rail_protection=none_recorded", "its protection is not recorded"},
        {"rail_protection=barriers", "barriers are recorded"},
        {"rail_protection=gates", "gates are recorded"},
        {"rail_protection=lights", "lights are recorded"},
        {"rail_protection=open", "it is recorded as having neither barriers nor lights"},
        {"rail_protection=level_crossing", "its protection is not recorded"},
        {"means=level", "at grade"},
        {"means=none", "with no way over recorded"},
        {"means=bridge", "by a recorded bridge"},
        {"means=tunnel", "by a recorded underpass"},
        {"means=ford", "by a recorded ford"},
        {"right_value=", "no word on access is recorded"},
        {"lifecycle=closed", "recorded as closed, or no longer usable"},
        {"lifecycle=construction", "recorded as under construction"},
        {"lifecycle=proposed", "recorded as only proposed"},
        {"lifecycle=planned", "recorded as only planned"},
        {"lifecycle=disused", "recorded as disused"},
        {"lifecycle=abandoned", "recorded as abandoned"},
        {"lifecycle=razed", "recorded as removed"},
        {"lifecycle=demolished", "recorded as removed"},
        {"lifecycle=removed", "recorded as removed"},
        {"ground=farmyard", "a farmyard"},
        {"ground=garden", "a garden"},
        {"ground=building", "a building"},
        {"ground=military", "military ground"},
        {"ground=quarry", "a quarry"},
        {"ground=industrial", "a works or a yard"},
        {"ground=square", "a square or platform for walkers"},
        {"ground=residential", "grounds of houses"},
        {"ground=", "ground of which the map says nothing"},
        {"sight_low_m=", "an unknown distance"},
        {"sight_high_m=", "an unknown distance"},
        {"sight_need_m=", "an unknown distance"},
        {"pavement_tagged_share=", "an unknown share"},
        {"speed_tagged_share=", "an unknown share"},
        {"ends_at=", "a time that is not known"},
        {"daylight=", "when the sun sets by the clock there is not known"},
        {"incline_pct=", "not recorded"},
        {"width_m=", "not recorded"},
        {"gap_m=", "not recorded"},
        {"locked=", "whether it is locked is not recorded"},
        {"locked=true", "recorded as locked"},
        {"locked=false", "recorded as not locked"},
    };
    return all;
}

std::string spaced(std::string text) {
    std::replace(text.begin(), text.end(), '_', ' ');
    return text;
}

std::string number_text(double value) {
    if (std::abs(value - std::round(value)) < 0.05 || std::abs(value) >= 100)
        return fmt::format("{:.0f}", value);
    return fmt::format("{:.1f}", value);
}

std::string key_of(const std::string& name, const std::optional<survey::FactValue>& value) {
    if (!value) return name + "=";
    if (const auto* b = std::get_if<bool>(&*value)) return name + (*b ? "=true" : "=false");
    if (const auto* s = std::get_if<std::string>(&*value)) return name + "=" + *s;
    return name + "=#";
}

std::string plain_value(const std::string& name, const Facts& facts) {
    if (name == "name") return name_words(facts);
    const auto value = facts.get(name);
    if (!value) return "not recorded";
    if (const auto* b = std::get_if<bool>(&*value)) return *b ? "yes" : "no";
    if (const auto* n = std::get_if<double>(&*value)) return number_text(*n);
    const FactSpec* spec = survey::find_fact(name);
    const std::string& text = std::get<std::string>(*value);
    return spec && spec->type == FactType::choice ? spaced(text) : text;
}

/// Calls `use(name)` for each {name} and copies the rest; false where a brace is left open.
bool each_placeholder(const std::string& text, std::string& out,
                      const std::function<std::string(const std::string&)>& use) {
    for (std::size_t at = 0; at < text.size();) {
        const auto open = text.find_first_of("{}", at);
        out += text.substr(at, open - at);
        if (open == std::string::npos) return true;
        const auto close = text.find('}', open);
        if (text[open] == '}' || close == std::string::npos) return false;
        out += use(text.substr(open + 1, close - open - 1));
        at = close + 1;
    }
    return true;
}

std::string fact_named(const std::string& placeholder) {
    if (survey::find_fact(placeholder) || !placeholder.ends_with(k_words)) return placeholder;
    return placeholder.substr(0, placeholder.size() - k_words.size());
}

/// "59 m to 82 m" where every subject has the number and they differ; nothing where one does not know it.
std::string spread(const std::string& fact, const std::vector<const Facts*>& subjects,
                   const std::function<std::string(const Facts&)>& words) {
    const auto by_number = [&](const Facts* a, const Facts* b) { return a->number(fact) < b->number(fact); };
    const auto [low, high] = std::minmax_element(subjects.begin(), subjects.end(), by_number);
    if (low == subjects.end() || !(*low)->number(fact)) return "";
    const std::string least = words(**low), most = words(**high);
    return least == most ? "" : fmt::format("{} to {}", least, most);
}

std::string listed(const std::vector<std::string>& values) {
    if (values.size() <= k_most_values) return fmt::format("{}", fmt::join(values, ", "));
    return fmt::format("{} and {} more", fmt::join(values.begin(), values.begin() + k_most_values, ", "),
                       values.size() - k_most_values);
}

} // namespace

std::string metres_words(double metres) {
    if (metres < 999.5) return fmt::format("{:.0f} m", std::max(metres, 0.0));
    return fmt::format("{:.1f} km", metres / 1000);
}

std::string fact_title(const std::string& name) {
    static const Phrases titles{{"speed_limit_kmh", "speed limit"},
                                {"speed_limit_source", "where the speed limit comes from"},
                                {"sac_grade", "grade of the path"},
                                {"map_age_days", "age of the map data"},
                                {"of", "what is crossed"},
                                {"means", "way over"},
                                {"facility", "crossing for walkers"},
                                {"farthest_from_road_min", "minutes from such a road"}};
    if (const auto at = titles.find(name); at != titles.end()) return at->second;
    std::string base = name;
    if (base.ends_with("_m")) base.resize(base.size() - 2);
    return spaced(base);
}

std::string name_words(const Facts& facts) {
    if (const std::string name = facts.text("name"); !name.empty()) return name;
    for (const char* kind : {"kind", "waterway", "barrier_kind", "access"}) {
        const std::string word = facts.text(kind);
        if (word.empty() || word == "other") continue;
        if (word == "open_ground") return "open ground";
        if (word == "water") return "water";
        return "an unnamed " + spaced(word);
    }
    return "something without a name";
}

std::string fact_words(const std::string& name, const Facts& facts) {
    if (name == "name") return name_words(facts);
    const auto value = facts.get(name);
    if (name == "pavement" && facts.text(name) == "separate" && facts.flag("pavement_beside") == false)
        return "a pavement is recorded as a way of its own, but none that can be walked is found beside";
    if (const auto at = phrases().find(key_of(name, value)); at != phrases().end()) return at->second;
    if (!value) return fmt::format("{} not recorded", fact_title(name));
    const double* number = std::get_if<double>(&*value);
    if (!number) return plain_value(name, facts);
    const FactSpec* spec = survey::find_fact(name);
    if (name == "width_m" || name == "gap_m") return number_text(*number) + " m";
    if (spec->unit == "m") return metres_words(*number);
    if (spec->unit == "T") return fmt::format("grade {:.0f} of 6", *number);
    return spec->unit.empty() ? number_text(*number) : fmt::format("{} {}", number_text(*number), spec->unit);
}

std::string read_message(const Value& value, survey::SubjectKind about) {
    const std::string text = value.text();
    std::string out;
    const bool closed = each_placeholder(text, out, [&](const std::string& name) {
        const std::string fact = fact_named(name);
        const FactSpec* spec = survey::find_fact(fact);
        if (!spec || !is_of(*spec, about))
            value.refuse(fmt::format("{{{}}} is no fact of a {}{}", name, to_string(about),
                                     hint(fact, facts_of(about))));
        return std::string();
    });
    if (!closed) value.refuse("a brace { or } stands alone; write {fact}");
    if (text.find_first_not_of(' ') == std::string::npos)
        value.refuse("is empty; a leader reads this, say it in words");
    return text;
}

std::string fill_message(const std::string& text, const std::vector<const Facts*>& subjects,
                         double length_m) {
    std::string out;
    each_placeholder(text, out, [&](const std::string& placeholder) {
        if (placeholder == "length_m") return fmt::format("{:.0f}", length_m);
        if (placeholder == "length_m_words") return metres_words(length_m);
        const std::string fact = fact_named(placeholder);
        const auto words = [&](const Facts& facts) {
            return fact == placeholder ? plain_value(fact, facts) : fact_words(fact, facts);
        };
        if (const std::string range = spread(fact, subjects, words); !range.empty()) return range;
        std::vector<std::string> values;
        for (const Facts* facts : subjects) {
            std::string one = words(*facts);
            if (std::find(values.begin(), values.end(), one) == values.end())
                values.push_back(std::move(one));
        }
        return listed(values);
    });
    if (!out.empty()) out.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(out.front())));
    return out;
}

} // namespace waywarden::rules
