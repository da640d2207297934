#pragma once

#include "rules/finding.hpp"

#include <memory>
#include <span>
#include <string>
#include <vector>

namespace waywarden::rules {

struct SetName {
    std::string name;
    int version = 1;
};

/// Rules ready to judge with: `walking-core`, the party's sets, then those given, each with what it builds
/// on.
class Judge {
  public:
    /// `party` is a shipped name or a file; `sets` likewise. Throws ArgumentError or DataError
    /// (file, line, JSON pointer, the nearest right name).
    Judge(const std::string& party, std::span<const std::string> sets, const region::Region& region);
    ~Judge();
    Judge(Judge&&) noexcept;
    Judge& operator=(Judge&&) noexcept;
    /// The same rules, read but once, for another region.
    Judge in(const region::Region& region) const;

    /// Findings in order of the walk; those on one place gathered into one.
    std::vector<Finding> judge(const survey::Survey& survey) const;
    std::vector<SetName> sets() const;
    std::string party() const;

  private:
    struct Inside;
    explicit Judge(std::unique_ptr<Inside> inside);
    std::unique_ptr<Inside> m_inside;
};

} // namespace waywarden::rules
