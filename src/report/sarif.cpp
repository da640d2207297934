#include "report/fingerprint.hpp"
#include "report/json_parts.hpp"
#include "report/ranking.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <ostream>
#include <string>
#include <string_view>

/// SARIF 2.1.0 (OASIS). A finding is a result of kind `fail` with its level. One that keeps the route from
/// being vouched for is of kind `open`, "insufficient information to decide" (3.27.9), which allows no level
/// but `none` (3.27.10); as a reader may leave out those without a level, each is a notification of the run
/// as well.
namespace waywarden::report {

namespace {

using rules::Finding;

/// Plain text as 3.11 wants it: braces doubled (they hold places to fill in), square brackets escaped (they
/// begin a link); both from memory of 3.11.5 and 3.11.6.
std::string message_text(std::string_view text) {
    std::string out;
    for (const char c : plain(text)) {
        if (c == '[' || c == ']' || c == '\\') out += '\\';
        if (c == '{' || c == '}') out += c;
        out += c;
    }
    return out;
}

Json message(std::string_view text) {
    return {{"text", message_text(text)}};
}

/// A URI reference for a path (RFC 3986): all but unreserved characters and slashes as %XX.
std::string uri_of(const std::string& path) {
    if (path == "-") return "stdin";
    std::string out = path.starts_with('/') ? "file://" : "";
    for (const char c : path) {
        const bool kept = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                          std::string_view("-._~/").find(c) != std::string_view::npos;
        if (kept) {
            out += c;
        } else {
            out += fmt::format("%{:02X}", static_cast<unsigned char>(c));
        }
    }
    return out;
}

/// Lines of the route file between which a piece of the route is drawn.
class RouteLines {
  public:
    explicit RouteLines(const route::Route& route) {
        const auto along = route::metres_along(route);
        for (std::size_t s = 0; s < route.segments.size(); ++s)
            for (std::size_t i = 0; i < route.segments[s].points.size(); ++i)
                m_points.emplace_back(along[s][i], route.segments[s].points[i].source_line);
    }

    /// From the last point at or before the beginning to the first at or after the end; null where not known.
    Json region(double from_m, double to_m) const {
        std::size_t first = 0, last = 0;
        for (const auto& [at_m, line] : m_points) {
            if (line == 0) return nullptr;
            if (at_m <= from_m || first == 0) first = line;
            last = line;
            if (at_m >= to_m) break;
        }
        if (first == 0) return nullptr;
        return {{"startLine", std::min(first, last)}, {"endLine", std::max(first, last)}};
    }

  private:
    std::vector<std::pair<double, std::size_t>> m_points;
};

Json location(const Assessed& route, const Json& region) {
    Json physical{{"artifactLocation", {{"uri", uri_of(route.route.path)}}}};
    if (!region.is_null()) physical["region"] = region;
    return {{"physicalLocation", physical}};
}

Json properties(const Finding& one, const Assessed& route, std::size_t number) {
    Json out{{"route", route.route.name}};
    if (number > 0) out["number"] = number;
    out["level"] = rules::to_string(one.level);
    out["from_m"] = metres(one.from_m);
    out["to_m"] = metres(one.to_m);
    out["grid_ref"] = geo::grid_reference(one.position, route.grid);
    out["position"] = position(one.position);
    out["evidence"] = evidence(one.evidence);
    out["evidence_grade"] = rules::to_string(one.grade);
    out["count"] = one.count;
    out["blocks_vouching"] = one.blocks_vouching;
    return out;
}

Json suppressions(const Finding& one) {
    Json out = Json::array();
    if (one.accepted)
        out.push_back({{"kind", "external"},
                       {"status", "accepted"},
                       {"justification", one.accepted->why},
                       {"properties", {{"by", one.accepted->by}, {"until", one.accepted->until}}}});
    return out;
}

/// One run: its rules are those that some finding is of, by id.
class RunOf {
  public:
    explicit RunOf(const Assessment& assessment) : m_assessment(assessment) {
        for (const Assessed& route : assessment.routes)
            for (const auto* all : {&route.findings, &route.absent})
                for (const Finding& one : *all)
                    m_rules.emplace(one.rule, &one);
    }

    Json run() const {
        Json out{{"tool", {{"driver", driver()}}}, {"invocations", Json::array({invocation()})}};
        out["language"] = "en-GB";
        out["columnKind"] = "utf16CodeUnits";
        out["results"] = results();
        Json maps = Json::array();
        for (const map::Source& source : m_assessment.sources)
            maps.push_back({{"path", source.path},
                            {"data_until", source.data_until ? Json(*source.data_until) : Json(nullptr)}});
        out["properties"] = {{"map", maps},
                             {"attribution", attribution(m_assessment.sources)},
                             {"party", m_assessment.party},
                             {"region", m_assessment.region}};
        return out;
    }

  private:
    Json driver() const {
        Json list = Json::array();
        for (const auto& [id, example] : m_rules) {
            std::string grounds = "Grounds:";
            for (const std::string& one : example->grounds)
                grounds += (grounds.ends_with(':') ? " " : "; ") + one;
            Json rule{{"id", id}, {"shortDescription", message(example->title)}};
            if (!example->grounds.empty()) rule["help"] = message(grounds);
            list.push_back(std::move(rule));
        }
        return {{"name", "waywarden"}, {"version", WAYWARDEN_VERSION}, {"rules", list}};
    }

    /// A route file that could not be read makes the run one that did not succeed.
    Json invocation() const {
        Json notes = Json::array();
        for (const NotRead& one : m_assessment.not_read)
            notes.push_back(
                {{"level", "error"},
                 {"message", message(one.why)},
                 {"locations", Json::array({{{"physicalLocation",
                                              {{"artifactLocation", {{"uri", uri_of(one.path)}}}}}}})}});
        for (const Assessed& route : m_assessment.routes)
            for (const Finding& one : route.findings)
                if (one.blocks_vouching)
                    notes.push_back({{"level", "warning"},
                                     {"message", message(fmt::format("Cannot vouch for {}: {}",
                                                                     route.route.name, one.message))},
                                     {"locations", Json::array({location(route, nullptr)})},
                                     {"associatedRule", {{"id", one.rule}, {"index", index_of(one.rule)}}}});
        return {{"executionSuccessful", m_assessment.not_read.empty()},
                {"toolExecutionNotifications", notes}};
    }

    Json results() const {
        Json out = Json::array();
        for (const Assessed& route : m_assessment.routes) {
            const RouteLines lines(route.route);
            std::size_t number = 0;
            for (const Finding* one : ranked(route))
                out.push_back(result(*one, route, ++number, lines.region(one->from_m, one->to_m)));
            for (const Finding& one : route.absent) // its metres are those of the earlier line
                out.push_back(result(one, route, 0, nullptr));
        }
        return out;
    }

    Json result(const Finding& one, const Assessed& route, std::size_t number, const Json& region) const {
        Json out{
            {"ruleId", one.rule},
            {"ruleIndex", index_of(one.rule)},
            {"kind", one.blocks_vouching ? "open" : "fail"},
            {"level", one.blocks_vouching ? "none" : rules::to_string(one.level)},
            {"message", message(one.advice.empty() ? one.message
                                                   : fmt::format("{} To do: {}", one.message, one.advice))},
            {"locations", Json::array({location(route, region)})},
            {"partialFingerprints", {{"place/v1", fingerprint(one)}}}};
        if (m_assessment.compared) out["baselineState"] = rules::to_string(one.state);
        if (m_assessment.acceptances_read) out["suppressions"] = suppressions(one);
        out["properties"] = properties(one, route, number);
        return out;
    }

    std::size_t index_of(const std::string& rule) const {
        return static_cast<std::size_t>(std::distance(m_rules.begin(), m_rules.find(rule)));
    }

    const Assessment& m_assessment;
    std::map<std::string, const Finding*> m_rules;
};

} // namespace

void write_sarif(const Assessment& assessment, std::ostream& out) {
    out << json_text(
        {{"$schema",
          "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"},
         {"version", "2.1.0"},
         {"runs", Json::array({RunOf(assessment).run()})}});
}

} // namespace waywarden::report
