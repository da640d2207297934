#pragma once

#include "fuzz/fuzz.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <fstream>
#include <map>
#include <regex>

/// An oracle: whether JSON follows a schema (JSON Schema 2020-12), for the keywords that the project's
/// schemas use; one that it does not know ends the process, so that nothing is passed over in silence.
namespace waywarden::fuzz {

class Schema {
  public:
    using Json = nlohmann::json;

    explicit Schema(const std::string& path) {
        std::ifstream in(path);
        must(in.good(), "cannot read the schema", path);
        m_root = Json::parse(in);
    }

    void must_hold(const Json& value) const {
        const std::string wrong = fault(value, m_root);
        must(wrong.empty(), "not as the schema says:", wrong);
    }

  private:
    /// What is wrong, or "".
    std::string fault(const Json& value, const Json& schema) const {
        for (const auto& [word, rule] : schema.items())
            if (const std::string wrong = of_word(value, word, rule, schema); !wrong.empty()) return wrong;
        return "";
    }

    std::string of_word(const Json& value, const std::string& word, const Json& rule,
                        const Json& schema) const {
        static const std::map<std::string, bool (Schema::*)(const Json&, const Json&) const> k_plain{
            {"type", &Schema::of_type},
            {"enum", &Schema::is_one_of},
            {"const", &Schema::is},
            {"minimum", &Schema::at_least},
            {"maximum", &Schema::at_most},
            {"exclusiveMaximum", &Schema::below},
            {"minItems", &Schema::many_enough},
            {"maxItems", &Schema::few_enough},
            {"minLength", &Schema::long_enough},
            {"pattern", &Schema::follows},
            {"required", &Schema::has_all}};
        static const char* const k_words[] = {"description", "title", "$schema", "$defs", "$id"};
        const auto plain = k_plain.find(word);
        if (plain != k_plain.end())
            return (this->*plain->second)(value, rule)
                       ? ""
                       : word + " " + rule.dump().substr(0, 200) + " for " +
                             value.dump(-1, ' ', false, Json::error_handler_t::replace).substr(0, 200);
        if (word == "$ref")
            return fault(value, m_root.at(Json::json_pointer(rule.get<std::string>().substr(1))));
        if (word == "anyOf") return of_any(value, rule);
        if (word == "properties" || word == "additionalProperties" || word == "propertyNames")
            return of_members(value, word, rule, schema);
        if (word == "items" || word == "prefixItems") return of_items(value, word, rule, schema);
        must(std::count(std::begin(k_words), std::end(k_words), word) > 0,
             "a keyword that is not known:", word);
        return "";
    }

    std::string of_any(const Json& value, const Json& rules) const {
        std::string wrong;
        for (const Json& one : rules)
            if ((wrong = fault(value, one)).empty()) return "";
        return wrong;
    }

    std::string of_members(const Json& value, const std::string& word, const Json& rule,
                           const Json& schema) const {
        if (!value.is_object()) return "";
        for (const auto& [key, member] : value.items()) {
            const bool named = schema.contains("properties") && schema["properties"].contains(key);
            std::string wrong;
            if (word == "properties" && named) wrong = fault(member, rule[key]);
            if (word == "propertyNames") wrong = fault(Json(key), rule);
            if (word == "additionalProperties" && !named) {
                if (rule == false) wrong = "is not known";
                if (rule.is_object()) wrong = fault(member, rule);
            }
            if (!wrong.empty()) return "/" + key + " " + wrong;
        }
        return "";
    }

    std::string of_items(const Json& value, const std::string& word, const Json& rule,
                         const Json& schema) const {
        if (!value.is_array()) return "";
        const std::size_t first =
            word == "items" && schema.contains("prefixItems") ? schema["prefixItems"].size() : 0;
        for (std::size_t i = first; i < value.size(); ++i) {
            if (word == "prefixItems" && i >= rule.size()) break;
            if (rule == false) return "too many items";
            const std::string wrong = fault(value[i], word == "items" ? rule : rule[i]);
            if (!wrong.empty()) return "/" + std::to_string(i) + " " + wrong;
        }
        return "";
    }

    bool of_type(const Json& value, const Json& rule) const {
        if (rule.is_array())
            return std::any_of(rule.begin(), rule.end(),
                               [&](const Json& one) { return of_type(value, one); });
        if (rule == "object") return value.is_object();
        if (rule == "array") return value.is_array();
        if (rule == "string") return value.is_string();
        if (rule == "boolean") return value.is_boolean();
        if (rule == "null") return value.is_null();
        if (rule == "number") return value.is_number();
        must(rule == "integer", "a type that is not known");
        return value.is_number_integer() || (value.is_number() && std::floor(value.get<double>()) == value);
    }
    bool is_one_of(const Json& value, const Json& rule) const {
        return std::find(rule.begin(), rule.end(), value) != rule.end();
    }
    bool is(const Json& value, const Json& rule) const { return value == rule; }
    bool at_least(const Json& value, const Json& rule) const { return !value.is_number() || value >= rule; }
    bool at_most(const Json& value, const Json& rule) const { return !value.is_number() || value <= rule; }
    bool below(const Json& value, const Json& rule) const { return !value.is_number() || value < rule; }
    bool many_enough(const Json& value, const Json& rule) const {
        return !value.is_array() || value.size() >= rule;
    }
    bool few_enough(const Json& value, const Json& rule) const {
        return !value.is_array() || value.size() <= rule;
    }
    bool long_enough(const Json& value, const Json& rule) const {
        return !value.is_string() || value.get_ref<const std::string&>().size() >= rule;
    }
    bool has_all(const Json& value, const Json& rule) const {
        return !value.is_object() ||
               std::all_of(rule.begin(), rule.end(), [&](const Json& key) { return value.contains(key); });
    }
    bool follows(const Json& value, const Json& rule) const {
        if (!value.is_string()) return true;
        static std::map<std::string, std::regex> patterns;
        const auto& text = rule.get_ref<const std::string&>();
        const auto at = patterns.try_emplace(text, text).first;
        return std::regex_search(value.get_ref<const std::string&>(), at->second);
    }

    Json m_root;
};

} // namespace waywarden::fuzz
