#include "sim/prove/run_formula.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include <boost/algorithm/string/replace.hpp>

namespace ovenproof::prove {
namespace {

using boost::algorithm::replace_all;

/// The longest "for at least 2050 ms".
std::uint32_t longest_ms(const std::string& text) {
  const std::string words = "for at least ";
  std::uint32_t longest = 0;
  for (std::size_t at = text.find(words); at != std::string::npos; at = text.find(words, at)) {
    at += words.size();
    longest = std::max(longest, static_cast<std::uint32_t>(std::stoul(text.substr(at))));
  }
  return longest;
}

}  // namespace

RunFormula formula_of_run(const Interlock& interlock, const logic::Options& options,
                          const Durations& durations) {
  const std::vector<Interlock> all = interlocks(options, Delays(durations));
  const auto of_machine = std::find_if(
      all.begin(), all.end(), [&](const Interlock& each) { return each.id == interlock.id; });
  std::string text = of_machine != all.end() ? of_machine->text : interlock.text;
  const std::uint32_t takes_ms = of_machine != all.end() ? longest_ms(text) : 0;
  const std::array<std::pair<std::string_view, bool>, 3> options_said{{
      {"option.oxygen_monitor", options.oxygen_monitor},
      {"option.jacket_cooling", options.jacket_cooling},
      {"option.start_by_door", options.start_by_door},
  }};
  for (const auto& [word, value] : options_said) replace_all(text, word, value ? "true" : "false");
  // A run is also judged before the first scan, when no timer can be commanded yet.
  const std::string always = "always ";
  if (text.starts_with(always) && text.find("timer.") != std::string::npos) {
    text = always + "(" + text.substr(always.size()) + " or not (once fact.settings_valid))";
  }
  replace_all(text, "at_start ", "always for " + std::to_string(durations.scan) + " ms ");
  return {std::move(text), takes_ms};
}

std::string from_power_up(const std::string& text) {
  const std::string powered =
      "(once rises(first_out = power_up)) and not rises(first_out = power_up)";
  const std::string always = "always ";
  const std::string never = "never ";
  if (text.starts_with(always)) {
    return always + "((" + powered + ") implies (" + text.substr(always.size()) + "))";
  }
  if (text.starts_with(never)) {
    return never + "((" + powered + ") and " + text.substr(never.size()) + ")";
  }
  return text;
}

}  // namespace ovenproof::prove
