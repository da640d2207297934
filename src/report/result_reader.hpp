#pragma once

#include "assess.hpp"
#include "rules/json_text.hpp"

#include <string>

/// Reading back what write_json() wrote.
namespace waywarden::report {

/// A result of an earlier run.
struct Result {
    std::string path;
    std::string tool_version;
    std::string sha256;    ///< of the file's bytes
    std::string text;      ///< the file
    Assessment assessment; ///< all but the legs and the drawn line
};

/// `with_walks`: stretches, crossings and spots too. Throws DataError (file, line, JSON pointer, what) where
/// the file is no whole result, holds numbers that cannot be, or its verdicts do not follow from its
/// findings.
Result read_result(const std::string& path, bool with_walks = false);

/// One finding as a result holds it; also that of an accepted finding. Throws as above.
rules::Finding read_finding(const rules::Value& value);

} // namespace waywarden::report
