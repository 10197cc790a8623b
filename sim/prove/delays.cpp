#include "sim/prove/delays.hpp"

namespace ovenproof::prove {

std::string Delays::over(const std::string& cause, logic::Timer timer) const {
  if (!durations_) return "(" + cause + " and fact." + name_of(logic::fact_of(timer)) + ")";
  const std::uint32_t ms = durations_->timers[static_cast<std::size_t>(timer)];
  return "((" + cause + ") for at least " + std::to_string(ms + 5 * durations_->scan) + " ms)";
}

}  // namespace ovenproof::prove
