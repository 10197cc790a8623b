#include "sim/sizing/cautions.hpp"

#include <fmt/format.h>

#include "sim/formulas/room.hpp"

namespace ovenproof::sizing {

std::vector<std::string> cautions_of(const machine::Machine& m, const Prediction& p) {
  constexpr double burns_degC = plant::bare_metal_burn_degC;
  std::vector<std::string> out;
  const double release = p.release_L_per_min;
  const double steady = formulas::room_oxygen_steady(release, p.ventilation_L_per_min);
  if (!m.plant.exhaust.ducted && steady < plant::least_oxygen_for_people) {
    out.push_back(
        fmt::format("The stated ventilation lets the room fall to {:.3g} % oxygen while "
                    "purging: people must not be in it.",
                    100.0 * steady));
  }
  if (p.gas_L) {
    const double gas_L = *p.gas_L * release / m.plant.supply.purge_L_per_min;
    const double left = formulas::room_oxygen_displaced(gas_L, p.room_L);
    if (left < plant::least_oxygen_for_people) {
      out.push_back(
          fmt::format("One cycle's gas released into the room without air change leaves "
                      "{:.3g} % oxygen, below 19.5 %: monitor the room.",
                      100.0 * left));
    }
    if (p.cylinders_L < *p.gas_L) {
      out.push_back(
          fmt::format("The cylinders hold {:.3g} m3 that can be used, a cycle takes "
                      "{:.3g} m3: gas runs out in the middle of it.",
                      p.cylinders_L / 1000.0, *p.gas_L / 1000.0));
    }
  }
  const auto& cooling = p.cooling();
  if (cooling && cooling->most_make_up_L_per_min > m.plant.supply.process_L_per_min) {
    out.push_back(
        fmt::format("While it cools the gas shrinks by up to {:.3g} L/min, more than the "
                    "process flow: the chamber draws in air.",
                    cooling->most_make_up_L_per_min));
  }
  if (!cooling) {
    out.push_back(
        fmt::format("It never cools to the unloading temperature: the fan's work holds "
                    "it at {:.3g} degC.",
                    p.still_end_degC));
  }
  if (p.casing_degC > burns_degC) {
    out.push_back(
        fmt::format("The casing reaches {:.3g} degC: bare metal burns skin from {:.0f} "
                    "degC in 10 s (from memory: ISO 13732-1:2006, figure of uncoated metal, number "
                    "unknown: check against the standard).",
                    p.casing_degC, burns_degC));
  }
  return out;
}

}  // namespace ovenproof::sizing
