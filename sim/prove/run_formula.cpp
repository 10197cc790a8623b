#include "sim/prove/run_formula.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "firmware/logic/matrix.hpp"

namespace ovenproof::prove {
namespace {

using namespace logic;

void replace_all(std::string& text, std::string_view word, const std::string& by) {
  for (std::size_t at = text.find(word); at != std::string::npos;
       at = text.find(word, at + by.size())) {
    text.replace(at, word.size(), by);
  }
}

std::uint32_t delay_ms(const Row& row, const Durations& durations) {
  return durations.timers[static_cast<std::size_t>(row.delay)];
}

/// The row's condition has lasted beyond its delay, by more scans than the logic takes to see it.
std::string overdue(const Row& row, const Durations& durations) {
  std::string lasts;
  for (std::size_t i = 0; i < output_count; ++i) {
    const auto output = static_cast<Output>(i);
    const std::string command = std::string("command.") + name_of(output) + " and ";
    if (row.condition.while_on.has(output)) lasts += command;
    if (row.condition.while_off.has(output)) lasts += "not " + command;
  }
  lasts += std::string(row.condition.is ? "" : "not ") + "fact." + name_of(row.condition.fact);
  return "((" + lasts + ") for at least " +
         std::to_string(delay_ms(row, durations) + 5 * durations.scan) + " ms)";
}

}  // namespace

RunFormula formula_of_run(std::string text, const Options& options, const Durations& durations) {
  RunFormula judged;
  const std::array<std::pair<std::string_view, bool>, 3> all{{
      {"option.oxygen_monitor", options.oxygen_monitor},
      {"option.jacket_cooling", options.jacket_cooling},
      {"option.start_by_door", options.start_by_door},
  }};
  for (const auto& [word, value] : all) replace_all(text, word, value ? "true" : "false");
  for (const Row& row : matrix) {
    if (row.delay == Timer::count || row.condition.fact == Fact::count) continue;
    const std::string over = std::string("not fact.") + name_of(fact_of(row.delay));
    if (text.find(over) == std::string::npos) continue;
    replace_all(text, over, "not " + overdue(row, durations));
    judged.takes_ms = std::max(judged.takes_ms, delay_ms(row, durations));
  }
  replace_all(text, "initially ", "always for " + std::to_string(durations.scan) + " ms ");
  judged.text = std::move(text);
  return judged;
}

}  // namespace ovenproof::prove
