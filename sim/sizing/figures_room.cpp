#include <fmt/format.h>

#include "sim/formulas/gas.hpp"
#include "sim/formulas/room.hpp"
#include "sim/sizing/figures.hpp"

namespace ovenproof::sizing {

void add_room_figures(const Basis& b, FigureMaker& maker) {
  const Prediction& p = b.prediction;
  const Trials* t = b.trials;
  const plant::Parameters& oven = b.machine.plant;
  const std::string_view if_loose = oven.exhaust.ducted ? ", should the duct come off" : "";
  const std::string level = fmt::format("{:.1f} %", plant::least_oxygen_for_people * 100.0);
  const Assumption stirred{"the room is stirred; inert gas may gather low or high in a real one",
                           true, ""};
  const Assumption inert{"the chamber is inert from the start, and the release steady", true, ""};
  const Assumption tight{
      "next to nothing leaks past the door's seal",
      oven.tightness.seal_conductance_L_per_min_Pa * 50.0 <= oven.exhaust.conductance_L_per_min_Pa,
      ""};
  {
    Figure& f = maker.add("room", "exhaust_purge", "exhaust while purging", "L/min",
                          formulas::flow_times_time, oven.supply.purge_L_per_min, {0.03, 0.05});
    f.assumptions = {tight,
                     {"the regulator has the pressure it needs",
                      oven.supply.pressure_kPa >= 1.2 * oven.supply.regulator_drop_kPa, ""}};
    if (t) {
      maker.measured(f, "purging a cold oven full of air, no controller",
                     t->purge->exhaust_L_per_min);
    }
  }
  {
    Figure& f = maker.add("room", "exhaust_heating", "exhaust while heating, most", "L/min",
                          formulas::contraction,
                          oven.supply.process_L_per_min + p.expansion_L_per_min, {0.1, 0.1});
    f.assumptions = {tight, {"the first ramp is the steepest, and met at once", true, ""}};
    if (t) maker.measured_in_cycle(f, t->cycle->exhaust_peak_L_per_min);
  }
  {
    Figure& f = maker.add(
        "room", "room_steady", fmt::format("room while purging for ever{}", if_loose), "%",
        formulas::room_extraction,
        100.0 * formulas::room_oxygen_steady(p.release_L_per_min, p.ventilation_L_per_min),
        {0.0, 0.1});
    f.assumptions = {stirred, inert};
    if (t) maker.measured(f, "six room air changes, no controller", t->room->steady, 100.0);
  }
  const auto warning = [&](std::string_view id, std::string what, double ventilation,
                           const formulas::Formula& formula,
                           const std::optional<RoomTrial>* trial) {
    const auto s = formulas::time_to_room_oxygen(plant::least_oxygen_for_people,
                                                 p.release_L_per_min, ventilation, p.room_L);
    Figure& f = maker.add("room", id, std::move(what), "min", formula, s, {0.05, 0.5});
    f.assumptions = {stirred, inert};
    if (!f.predicted) f.no_prediction = fmt::format("it stays above {}", level);
    if (trial != nullptr && *trial) {
      maker.measured(f, "purge flow into the room, no controller", (*trial)->warning_s, 1.0 / 60.0,
                     fmt::format("it stayed above {}", level));
    }
  };
  warning("room_warning", fmt::format("until the room is at {}{}", level, if_loose),
          p.ventilation_L_per_min, formulas::room_extraction, t ? &t->room : nullptr);
  warning("room_warning_still", fmt::format("the same without ventilation{}", if_loose), 0.0,
          formulas::room_still, t ? &t->room_still : nullptr);
  if (!oven.exhaust.ducted) {
    Figure& f = maker.add(
        "room", "room_cycle", "room's lowest in a cycle", "%", formulas::room_extraction,
        p.purge_s ? std::optional(100.0 * formulas::room_oxygen_after(p.release_L_per_min,
                                                                      p.ventilation_L_per_min,
                                                                      p.room_L, *p.purge_s / 60.0))
                  : std::nullopt,
        {0.0, 0.1});
    f.assumptions = {stirred, inert};
    if (t) maker.measured_in_cycle(f, t->cycle->room_lowest, 100.0);
  }
  {
    Figure& f = maker.add("room", "room_displaced", "room after a cycle's gas, no air change", "%",
                          formulas::room_displaced,
                          p.gas_L ? std::optional(100.0 * formulas::room_oxygen_displaced(
                                                              *p.gas_L * p.release_L_per_min /
                                                                  oven.supply.purge_L_per_min,
                                                              p.room_L))
                                  : std::nullopt,
                          {0.0, 0.1});
    f.assumptions = {{"all of it stays in the room, and pushes out air", true, ""}};
    f.no_simulation = "the worst case on paper; the simulated room is ventilated or stirred";
  }
}

}  // namespace ovenproof::sizing
