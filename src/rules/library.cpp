#include "rules/library.hpp"

#include "error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <functional>

namespace waywarden::rules {

namespace {

/// Takes what is wrong; loading throws at once, validating goes on.
using Report = std::function<void(const std::string&)>;

void guarded(const Report& report, const std::function<void()>& work) {
    try {
        work();
    } catch (const DataError& e) {
        report(e.what());
    } catch (const ArgumentError& e) {
        report(e.what());
    }
}

std::string said(const std::optional<Level>& level) {
    return level ? to_string(*level) : "nothing";
}

void run_examples(const Rule& rule, const Value& examples) {
    const std::vector<Value> values = examples.items();
    for (std::size_t i = 0; i < values.size(); ++i)
        if (const auto given = outcome(rule, rule.examples[i]); given != rule.examples[i].gives)
            values[i]["gives"].refuse(
                fmt::format("the rule \"{}\" gives {} for this example, which expects {}; mend the one or "
                            "the other",
                            rule.id, said(given), said(rule.examples[i].gives)));
}

class Loader {
  public:
    Loader(Library& library, Report report) : m_library(library), m_report(std::move(report)) {}

    void load(const std::string& path) {
        const std::string same = std::filesystem::weakly_canonical(path).string();
        if (std::find(m_open.begin(), m_open.end(), same) != m_open.end())
            throw DataError(
                fmt::format("{}: builds on itself, by way of other sets; take one \"builds_on\" out", path));
        if (std::find(m_done.begin(), m_done.end(), same) != m_done.end()) return;
        m_open.push_back(same);
        const Document document(read_text(path), path);
        read_set(whole(document));
        m_open.pop_back();
        m_done.push_back(same);
    }

  private:
    void read_set(const Value& file) {
        guarded(m_report, [&] {
            file.allow_only({"$schema", "format", "version", "name", "title", "builds_on", "change",
                             "leave_out", "rules"});
        });
        if (file["format"].text() != "waywarden-rules")
            file["format"].refuse("must be \"waywarden-rules\": this file is no rule set");
        const double version = file["version"].number();
        if (version != 1) file["version"].refuse("must be 1, the version this program reads");
        guarded(m_report, [&] { file["title"].text(); });
        const std::string name = file["name"].text();
        each(file, "builds_on", [&](const Value& base) { build_on(base); });
        m_library.sets.push_back({name, 1});
        each(file, "leave_out", [&](const Value& id) { m_library.rules.erase(find_rule(id, id.text())); });
        guarded(m_report, [&] { change_rules(file); });
        each(file, "rules", [&](const Value& rule) { add(rule); });
    }

    /// Every item of a list, of which one that is wrong does not hide the others.
    void each(const Value& file, const char* key, const std::function<void(const Value&)>& use) {
        if (!file.has(key)) return;
        guarded(m_report, [&] {
            for (const Value& item : file[key].items())
                guarded(m_report, [&] { use(item); });
        });
    }

    void change_rules(const Value& file) {
        if (!file.has("change")) return;
        for (const auto& member : file["change"].members())
            guarded(m_report, [&] { change_rule(*find_rule(member.second, member.first), member.second); });
    }

    void build_on(const Value& base) {
        try {
            load(find_file(base.text(), "sets", "rule set", base.document->path()));
        } catch (const ArgumentError& e) {
            base.refuse(e.what());
        }
    }

    void add(const Value& value) {
        Rule rule = read_rule(value);
        const auto same = [&](const Rule& other) { return other.id == rule.id; };
        if (std::any_of(m_library.rules.begin(), m_library.rules.end(), same))
            value["id"].refuse(
                fmt::format("there is already a rule \"{}\"; choose another id, or use \"change\"", rule.id));
        guarded(m_report, [&] { run_examples(rule, value["examples"]); });
        m_library.rules.push_back(std::move(rule));
    }

    std::vector<Rule>::iterator find_rule(const Value& place, std::string_view id) {
        auto& rules = m_library.rules;
        const auto at = std::find_if(rules.begin(), rules.end(), [&](const Rule& r) { return r.id == id; });
        if (at == rules.end()) {
            std::vector<std::string_view> ids;
            for (const Rule& rule : rules)
                ids.push_back(rule.id);
            const std::string near = nearest(id, ids);
            place.refuse(fmt::format("no rule \"{}\" in what this set builds on{}", id,
                                     near.empty() ? "; see its \"rules\", or name its set in \"builds_on\""
                                                  : fmt::format("; did you mean \"{}\"?", near)));
        }
        return at;
    }

    Library& m_library;
    Report m_report;
    std::vector<std::string> m_open, m_done;
};

} // namespace

Library load_sets(std::span<const std::string> names_or_files) {
    Library library;
    Loader loader(library, [](const std::string& problem) { throw DataError(problem); });
    for (const std::string& name : names_or_files)
        loader.load(find_file(name, "sets", "rule set"));
    return library;
}

std::vector<std::string> validate(const std::string& file) {
    std::vector<std::string> problems;
    Library library;
    const Report report = [&](const std::string& problem) { problems.push_back(problem); };
    Loader loader(library, report);
    guarded(report, [&] { loader.load(file); });
    return problems;
}

std::vector<std::string> set_names() {
    return shipped("sets");
}

} // namespace waywarden::rules
