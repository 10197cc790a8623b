#include <fmt/format.h>

#include "sim/machine/checker.hpp"

namespace ovenproof::machine {

void check_relief(Checker& check, const Machine& m, double purge_Pa) {
  const plant::ExhaustParameters& exhaust = m.plant.exhaust;
  const plant::ChamberParameters& chamber = m.plant.chamber;
  const bool relief = exhaust.relief_pressure_Pa.has_value();
  const bool vacuum = chamber.vacuum_relief_pressure_Pa.has_value();
  check.need(relief == exhaust.relief_conductance_L_per_min_Pa.has_value(),
             {"exhaust.relief_pressure", "exhaust.relief_conductance"},
             "a relief valve with both, or neither");
  check.need(vacuum == chamber.vacuum_relief_conductance_L_per_min_Pa.has_value(),
             {"chamber.vacuum_relief_pressure", "chamber.vacuum_relief_conductance"},
             "a vacuum relief valve with both, or neither");
  if (relief && exhaust.relief_conductance_L_per_min_Pa) {
    check.need(
        *exhaust.relief_pressure_Pa > purge_Pa,
        {"exhaust.relief_pressure", "purge.purge_flow", "exhaust.conductance",
         "exhaust.cracking_pressure"},
        fmt::format("above the {:.0f} Pa to which the exhaust backs up while purging, or the "
                    "relief valve opens in each purge",
                    purge_Pa));
    const double relieved_Pa =
        *exhaust.relief_pressure_Pa +
        m.plant.supply.purge_L_per_min / *exhaust.relief_conductance_L_per_min_Pa;
    check.need(relieved_Pa <= chamber.max_pressure_Pa,
               {"exhaust.relief_pressure", "exhaust.relief_conductance", "purge.purge_flow",
                "chamber.max_pressure"},
               fmt::format("at most chamber.max_pressure with the exhaust blocked: at purge flow "
                           "the relief valve holds {:.0f} Pa",
                           relieved_Pa));
  }
  if (vacuum) {
    check.need(*chamber.vacuum_relief_pressure_Pa < chamber.max_underpressure_Pa,
               {"chamber.vacuum_relief_pressure", "chamber.max_underpressure"},
               "below chamber.max_underpressure, or the valve opens too late");
  }
}

}  // namespace ovenproof::machine
