#include "firmware/logic/enumerator_name.hpp"
#include "firmware/logic/facts.hpp"
#include "firmware/logic/outputs.hpp"
#include "firmware/logic/phase.hpp"

namespace ovenproof::logic {
namespace {

template <class Enum, std::size_t count>
const char* look_up(Enum value) {
  const auto index = static_cast<std::size_t>(value);
  return index < count ? enumerator_names<Enum, count>[index] : "?";
}

}  // namespace

const char* name_of(Fact fact) {
  const auto index = static_cast<std::size_t>(fact);
  if (index < plain_fact_count) return look_up<Fact, plain_fact_count>(fact);
  return name_of_elapsed(static_cast<Timer>(index - plain_fact_count));
}
const char* name_of(Timer timer) { return look_up<Timer, timer_count>(timer); }
const char* name_of_elapsed(Timer timer) {
  const auto index = static_cast<std::size_t>(timer);
  return index < timer_count ? elapsed_names<Timer, timer_count>[index] : "?";
}
const char* name_of(Output output) { return look_up<Output, output_count>(output); }
const char* name_of(Phase phase) { return look_up<Phase, phase_count>(phase); }
const char* name_of(GasPath path) { return look_up<GasPath, gas_path_count>(path); }
const char* name_of(FanState state) { return look_up<FanState, fan_state_count>(state); }
const char* name_of(JacketState state) { return look_up<JacketState, jacket_state_count>(state); }

}  // namespace ovenproof::logic
