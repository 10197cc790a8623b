#include <fmt/format.h>

#include "sim/campaign/catalogue.hpp"
#include "sim/campaign/realise.hpp"

namespace ovenproof::campaign {

std::vector<Mode> demands() {
  struct Demand {
    std::string_view name;
    std::string_view what;
    std::string phrase;
    std::vector<logic::Cause> right;
  };
  using enum logic::Cause;
  const std::vector<Demand> all{
      {"door", "the door is opened for 10 s", "door: open for 10 s", {door_opened_in_cycle}},
      {"estop",
       "the emergency stop is pressed for 10 s",
       "estop: pressed for 10 s",
       {emergency_stop}},
      {"too_hot",
       "the heater's switch conducts whatever is demanded",
       "fault: heater_switch_shorted",
       {over_temperature, limiter_tripped}},
      {"gas_lost", "the gas supply is lost", "supply: 0 kPa", {gas_supply_lost}},
      {"air",
       "the door seal fails",
       "fault: seal_leaking",
       {repurge_limit, gate_not_met_in_time, oxygen_not_falling}},
      {"fan_lost", "the circulation fan stands", "fault: fan_stopped", {fan_not_proven}},
  };
  std::vector<Mode> modes;
  for (const Demand& each : all) {
    Mode mode;
    mode.id = fmt::format("demand.{}", each.name);
    mode.component = "demand";
    mode.kind = ComponentKind::chain;
    mode.what = each.what;
    mode.realisations.push_back(realise(Onset::abrupt, {each.phrase}));
    mode.right_first_outs = each.right;
    modes.push_back(std::move(mode));
  }
  return modes;
}

}  // namespace ovenproof::campaign
