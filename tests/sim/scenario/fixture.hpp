#pragma once
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "folder.hpp"
#include "sim/machine/error.hpp"
#include "sim/scenario/case.hpp"
#include "sim/scenario/play.hpp"
#include "sim/scenario/read.hpp"
#include "sim/scenario/result.hpp"
#include "sim/scenario/suite.hpp"

namespace ovenproof::test {

/// What every test scenario begins with: a machine and a short programme.
std::string head();

/// The cases of a scenario with that text after `head()`; fails the test if there are errors.
std::vector<scenario::Case> cases_of(const std::string& text);

/// Text of all errors of a scenario, one after the other, with newlines.
std::string errors_of(const std::string& whole_text);

/// Plays the only case of that text from its start.
scenario::CaseResult play_text(const std::string& text, const scenario::Observer& observer = {});
scenario::CaseResult play_case(const scenario::Case& one, const scenario::Observer& observer = {});

/// One probe over a case, scan by scan from its beginning.
class Recording {
 public:
  /// Plays the only case of the text, and records the probe.
  Recording(const std::string& text, std::string_view probe);

  /// Value `ms` after the case began (at the end of that scan).
  [[nodiscard]] double at(std::uint64_t ms) const { return values_.at(ms / 10); }
  /// ms after the beginning at which the value is first that, or -1.
  [[nodiscard]] long first(double value) const;
  /// ms for which it has that value, over the case.
  [[nodiscard]] long lasts(double value) const;
  [[nodiscard]] double least() const;
  [[nodiscard]] double greatest() const;
  [[nodiscard]] const scenario::CaseResult& result() const { return result_; }

 private:
  std::vector<double> values_;
  scenario::CaseResult result_;
};

/// Output and exit status of a shell command.
struct Ran {
  int status = -1;
  std::string out;
};
Ran shell(const std::string& command);

}  // namespace ovenproof::test
