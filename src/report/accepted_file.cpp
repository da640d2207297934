#include "error.hpp"
#include "report/accepted.hpp"
#include "report/fingerprint.hpp"
#include "report/json_parts.hpp"
#include "report/result_reader.hpp"
#include "survey/spots.hpp"

/// The file of accepted findings; docs/accepted.schema.json.
namespace waywarden::report {

namespace {

using rules::Value;

constexpr const char* k_format = "waywarden-accepted";

std::string filled(const Value& value) {
    const std::string out = value.text();
    if (out.find_first_not_of(" \t\r\n") == std::string::npos) value.refuse("must not be empty");
    return out;
}

std::string day(const Value& value) {
    const std::string out = value.text();
    if (out.size() != 10 || !survey::time_of(out)) value.refuse("must be a date such as 2027-05-01");
    return out;
}

AcceptedFinding read_one(const Value& value) {
    AcceptedFinding out;
    out.finding = read_finding(value["finding"]);
    out.route = value["route"].text();
    out.party = value["party"].text();
    out.acceptance = {filled(value["by"]), filled(value["why"]), day(value["until"])};
    out.on = day(value["on"]);
    out.tool_version = value["tool"].text();
    out.result_sha256 = value["result_sha256"].text();
    return out;
}

std::vector<AcceptedFinding> parse(const std::string& text, const std::string& path) {
    const rules::Document document(text, path);
    const Value root = rules::whole(document);
    if (!root.at->is_object() || !root.has("format") || *root["format"].at != k_format)
        throw DataError(path + ": is no file of accepted findings; such a file is made by waywarden accept");
    if (*root["version"].at != 1)
        root["version"].refuse("must be 1: a newer version of the program wrote this");
    std::vector<AcceptedFinding> out;
    for (const Value& one : root["accepted"].items())
        out.push_back(read_one(one));
    return out;
}

Json entry(const AcceptedFinding& one) {
    return {{"route", one.route},
            {"party", one.party},
            {"by", one.acceptance.by},
            {"why", one.acceptance.why},
            {"until", one.acceptance.until},
            {"on", one.on},
            {"fingerprint", fingerprint(one.finding)},
            {"tool", one.tool_version},
            {"result_sha256", one.result_sha256},
            {"finding", finding_json(one.finding)}};
}

} // namespace

std::vector<AcceptedFinding> read_accepted(const std::string& path) {
    return parse(rules::read_text(path), path);
}

std::string with_accepted(const std::string& old_text, const std::string& path, const AcceptedFinding& more) {
    Json whole{{"format", k_format}, {"version", 1}, {"accepted", Json::array()}};
    if (!old_text.empty()) {
        parse(old_text, path); // refuses what it could not read back
        whole = Json::parse(old_text);
    }
    whole["accepted"].push_back(entry(more));
    return json_text(whole);
}

} // namespace waywarden::report
