#include <algorithm>

#include <fmt/format.h>

#include "sim/campaign/catalogue.hpp"
#include "sim/campaign/realise.hpp"
#include "sim/machine/io_list.hpp"
#include "sim/plant/thermocouple_emf.hpp"

namespace ovenproof::campaign {
namespace {

using enum logic::Cause;
using Causes = std::vector<logic::Cause>;
using machine::Part;

/// Gas that holds oxygen itself leaves a reading that stands still.
const Causes gas_is_air = [] {
  Causes causes = air_comes_in;
  causes.push_back(logic::Cause::oxygen_frozen);
  return causes;
}();

const std::string practice(usual);

/// Takes up modes of an oven one by one.
class Modes {
 public:
  explicit Modes(const machine::Machine& machine) : machine_(machine) {}

  /// A mode of the component, or of the point with that key; `phrases`: all that is done at once.
  void add(std::string_view key, std::string_view name, ComponentKind kind, std::string what,
           std::string source, std::vector<std::string> phrases, Causes right,
           Part part = Part::every_oven, Onset onset = Onset::abrupt) {
    if (!machine::has_part(part, machine_.settings.options)) return;
    Mode mode;
    mode.component = tag_of(key, machine_);
    mode.id = fmt::format("{}.{}", mode.component, name);
    mode.kind = kind;
    mode.what = std::move(what);
    mode.source = std::move(source);
    for (std::string& each : phrases) {
      if (each.find(": ") == std::string::npos) each = "fault: " + each;
    }
    mode.realisations.push_back(realise(onset, phrases));
    mode.right_first_outs = std::move(right);
    all_.push_back(std::move(mode));
  }

  std::vector<Mode> take() { return std::move(all_); }

 private:
  const machine::Machine& machine_;
  std::vector<Mode> all_;
};

/// Door contacts that somebody or something holds, and the chain that no input sees.
void add_door_and_chain(Modes& modes, const machine::Machine& machine) {
  using K = ComponentKind;
  const bool two = machine.settings.options.door_contacts == 2;
  const std::string switches = fmt::format("{}: position switches", annex_D);
  const std::string wires = fmt::format("{}: conductors", annex_D);
  modes.add("door_closed_1", "defeated", K::contact,
            "held closed, in the hard-wired chain too: cam loose, or actuator left in", switches,
            {"door_contact_1_defeated"}, two ? Causes{door_contacts_disagree} : Causes{});
  if (two) {
    modes.add("door", "jumpered", K::contact,
              "both contacts and the chain held closed on purpose: people can defeat all at once",
              practice, {"door_contact_1_defeated", "door_closed_2 short"}, {});
  }
  modes.add("chain", "door_bridged", K::chain,
            "bridged across the door's contact; the controller's input is not", wires,
            {"chain_door_bridged"}, {});
  modes.add("chain", "estop_bridged", K::chain,
            "bridged across the emergency stop; the controller's input is not", wires,
            {"chain_estop_bridged"}, {});
  modes.add("chain", "limiter_bridged", K::chain,
            "the limiter's contact in the chain does not open; its read-back does",
            fmt::format("{}: contactor relays", annex_D), {"chain_limiter_bridged"}, {});
  if (machine.plant.emergency_stop.cuts_outputs) {
    modes.add("estop_healthy", "contact_2_bridged", K::chain,
              "its second contact, in the supply of the outputs, does not open", switches,
              {"estop_contact_2_bridged"}, {});
  }
  modes.add("chain", "open", K::chain, "a wire of the chain is broken", wires, {"chain_open"},
            {k1_not_closed, k2_not_closed});
  for (const char* contactor : {"k1", "k2"}) {
    modes.add(contactor, "pole_welded", K::contactor,
              "one of three main contacts does not open: a third of the power",
              fmt::format("{}: contactors", annex_D), {fmt::format("{}_pole_welded", contactor)},
              {contactor == std::string_view("k1") ? k1_welded : k2_welded});
  }
}

/// The gas between its source and the chamber.
void add_gas(Modes& modes, const machine::Machine& machine) {
  using K = ComponentKind;
  // What a flow switch still takes for enough.
  const double enough = machine.plant.switches.flow_fraction + 0.02;
  for (const char* path : {"purge", "process"}) {
    const std::string pipe = fmt::format("{}_pipe", path);
    const Causes missing = path == std::string_view("purge") ? air_comes_in : Causes{repurge_limit};
    modes.add(pipe, "off", K::supply, "comes off behind its flow switch: gas into the room",
              practice, {fmt::format("{}_pipe_off", path)}, missing);
    modes.add(pipe, "turned_down", K::supply,
              "flow turned down at the rotameter to what its flow switch still takes for enough",
              practice,
              {fmt::format("{}_valve_stuck_closed {:.0f} %", path, 100.0 * (1.0 - enough))}, {});
  }
  modes.add("supply", "regulator_open", K::supply, "its regulator passes three times the flow",
            fmt::format("{}: pressure valves", annex_B), {"regulator_failed_open"}, {});
  modes.add("supply", "impure", K::supply, "1 % of air in the gas", practice, {"supply_impure 1 %"},
            gas_is_air);
  modes.add("supply", "air", K::supply, "air in the place of the gas", practice, {"supply_impure"},
            gas_is_air);
}

/// What all points of one kind share: supply, reference, image.
void add_board(Modes& modes, const machine::Machine& machine) {
  using K = ComponentKind;
  const std::string supplies = fmt::format("{}: power supplies", annex_D);
  const std::string processor = fmt::format("{}: programmable electronics", annex_D);
  const Causes outputs_dead{k1_not_closed,       k2_not_closed,   fan_not_proven,
                            purge_flow_missing,  damper_not_open, blower_not_proven,
                            process_flow_missing};
  modes.add("outputs", "supply_dips", K::controller,
            "no supply for 5 s, the controller has its own", supplies,
            {"outputs_without_supply for 5 s"}, outputs_dead);
  modes.add("outputs", "supply_lost", K::controller, "no supply, the controller has its own",
            supplies, {"outputs_without_supply"}, outputs_dead);
  if (machine.plant.outputs.supply_latched) {
    modes.add("outputs", "relay_welded", K::controller,
              "control relay K0 in their supply does not open",
              fmt::format("{}: contactor relays", annex_D), {"k0_welded"}, {});
  }
  modes.add("outputs", "frozen", K::controller,
            "keep what they were, while the controller runs and serves its watchdog", processor,
            {"all_outputs frozen"}, {});
  modes.add("contacts", "supply_dips", K::controller, "no supply for 5 s: all read open", supplies,
            {"all_contacts open for 5 s"}, {});
  modes.add("contacts", "supply_lost", K::controller, "no supply: all read open", supplies,
            {"all_contacts open"}, {});
  modes.add("contacts", "frozen", K::controller, "keep what they read", processor,
            {"all_contacts frozen"}, {});
  modes.add("converter", "reference_high", K::controller, "all channels read 3 % more", processor,
            {"all_analogue gain 1.03"}, {});
  modes.add("converter", "reference_low", K::controller, "all channels read 3 % less", processor,
            {"all_analogue gain 0.97"}, {});
}

/// Wires of neighbouring terminals that touch.
void add_crossed(Modes& modes, const machine::Machine& machine) {
  std::vector<std::size_t> contacts;
  const auto points = machine::all_points();
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (points[i].signal != machine::Signal::contact_in) continue;
    if (machine::has_part(points[i].part, machine.settings.options)) contacts.push_back(i);
  }
  for (std::size_t i = 1; i < contacts.size(); ++i) {
    const std::size_t a = contacts[i - 1];
    const std::size_t b = contacts[i];
    modes.add("contacts", fmt::format("crossed_{}_{}", machine.tags[a], machine.tags[b]),
              ComponentKind::contact,
              fmt::format("{} and {} touch: both read closed when one is", points[a].what,
                          points[b].what),
              fmt::format("{}: conductors", annex_D),
              {fmt::format("{} crossed_with {}", points[a].key, points[b].key),
               fmt::format("{} crossed_with {}", points[b].key, points[a].key)},
              {});
  }
  modes.add("damper", "switches_together", ComponentKind::contact, "both end switches closed",
            fmt::format("{}: position switches", annex_D),
            {"damper_open short", "damper_closed short"}, {damper_switches_contradict},
            Part::jacket_cooling);
}

void add_thermocouples(Modes& modes, const machine::Machine& machine) {
  using K = ComponentKind;
  const Causes low{thermocouples_disagree, temperature_rate_implausible, no_temperature_rise,
                   limiter_tripped, temperature_invalid};
  const plant::ThermocoupleType type = machine.plant.thermocouples.type;
  const bool k = type == plant::ThermocoupleType::k;
  const plant::ThermocoupleType other = k ? plant::ThermocoupleType::n : plant::ThermocoupleType::k;
  const double ratio = plant::emf_mV(other, 500.0) / plant::emf_mV(type, 500.0);
  for (const char* which : {"te_a", "te_b"}) {
    const Part part =
        which == std::string_view("te_b") ? Part::second_thermocouple : Part::every_oven;
    modes.add(which, "reversed", K::sensor, "connected the wrong way round", practice,
              {fmt::format("{} gain -1", which)}, low, part);
    modes.add(which, "wrong_type", K::sensor,
              fmt::format("one of type {} in its place", k ? 'N' : 'K'), practice,
              {fmt::format("{} gain {:.3f}", which, ratio)}, low, part);
  }
  const Causes slipped{no_temperature_rise, temperature_rate_implausible, limiter_tripped};
  modes.add("thermocouples", "slipped", K::sensor, "both slipped out: feel the casing alike",
            practice, {"thermocouple_a_slipped", "thermocouple_b_slipped"}, slipped,
            Part::second_thermocouple);
  modes.add("thermocouples", "slipping", K::sensor, "both slip out alike over an hour", practice,
            {"thermocouple_a_slipped 100 % over 1 h", "thermocouple_b_slipped 100 % over 1 h"},
            slipped, Part::second_thermocouple, Onset::drifting);
}

void add_oxygen(Modes& modes) {
  const auto add = [&](std::string_view name, std::string what, std::string phrase, Causes right) {
    modes.add("oxygen", name, ComponentKind::sensor, std::move(what), practice, {std::move(phrase)},
              std::move(right), Part::oxygen_monitor);
  };
  const Causes old_value{oxygen_frozen, oxygen_not_falling, oxygen_air_check_failed,
                         gate_not_met_in_time};
  add("sample_blocked", "sample line blocked: the gas at the cell stays what it was",
      "oxygen_sample_blocked", old_value);
  add("sample_slow", "sample line nearly blocked: a hundred times as slow",
      "oxygen_sample_blocked 99 %", old_value);
  add("sample_leaks", "sample line draws in 2 % of room air: reads high", "oxygen_cell_cracked 2 %",
      {oxygen_not_falling, gate_not_met_in_time, repurge_limit, oxygen_frozen});
  add("combustibles", "combustible gas takes 1000 ppm away at the hot cell: reads low",
      "oxygen_combustibles 10 %",
      {oxygen_air_check_failed, oxygen_falls_too_soon, oxygen_invalid, oxygen_frozen});
}

}  // namespace

std::vector<Mode> common_modes(const machine::Machine& machine) {
  Modes modes(machine);
  add_door_and_chain(modes, machine);
  add_gas(modes, machine);
  add_board(modes, machine);
  add_crossed(modes, machine);
  add_thermocouples(modes, machine);
  add_oxygen(modes);
  modes.add("room", "ventilation_lost", ComponentKind::enclosure, "its ventilation stops", practice,
            {"ventilation: 0 %"}, {});
  modes.add("room", "hot", ComponentKind::enclosure, "45 degC in the room and in the supplied gas",
            practice, {"ambient: 45 degC"}, {});
  return modes.take();
}

}  // namespace ovenproof::campaign
