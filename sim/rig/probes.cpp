#include "sim/rig/probes.hpp"

#include <algorithm>
#include <array>
#include <numeric>

#include "firmware/logic/enumerator_name.hpp"
#include "sim/rig/field_wiring.hpp"
#include "sim/rig/logic_probes.hpp"

namespace ovenproof::rig {
namespace {

using hal::DigitalOut;

/// The names of the logic's own enumerators.
template <class Enum, std::size_t count>
constexpr std::array<std::string_view, count> labels = [] {
  std::array<std::string_view, count> all;
  for (std::size_t i = 0; i < count; ++i) all[i] = logic::enumerator_names<Enum, count>[i];
  return all;
}();
constexpr const auto& phases = labels<logic::Phase, logic::phase_count>;
constexpr const auto& paths = labels<logic::GasPath, logic::gas_path_count>;
constexpr const auto& fan_states = labels<logic::FanState, logic::fan_state_count>;
constexpr const auto& jacket_states = labels<logic::JacketState, logic::jacket_state_count>;

template <auto member>
double of_truth(const plant::Truth& truth) {
  return static_cast<double>(truth.*member);
}

/// Mole fraction as ppm.
template <auto member>
double ppm_of_truth(const plant::Truth& truth) {
  return 1e6 * (truth.*member);
}

double worst_oxygen_ppm(const plant::Truth& truth) { return 1e6 * plant::worst_oxygen(truth); }

template <double (*from)(const plant::Truth&)>
double of_rig(const Rig& rig) {
  return from(rig.truth());
}

template <double (*from)(const plant::Truth&)>
Probe plant_probe(std::string_view name, ProbeKind kind, std::string_view unit,
                  std::string_view description) {
  return {name, kind, unit, {}, description, &of_rig<from>, from};
}

template <auto member>
Probe truth_probe(std::string_view name, std::string_view unit, std::string_view description) {
  return plant_probe<&of_truth<member>>(name, ProbeKind::number, unit, description);
}

template <auto member>
Probe truth_flag(std::string_view name, std::string_view description) {
  return plant_probe<&of_truth<member>>(name, ProbeKind::boolean, "", description);
}

template <auto member>
Probe truth_ppm(std::string_view name, std::string_view description) {
  return plant_probe<&ppm_of_truth<member>>(name, ProbeKind::number, "ppm", description);
}

template <bool plant::Actuation::*output>
double fed(const plant::Truth& truth) {
  return truth.fed.*output ? 1.0 : 0.0;
}

/// What of the board's outputs arrives at the actuators.
void add_fed(std::vector<Probe>& all) {
  using A = plant::Actuation;
  const auto add = [&all]<bool A::*output>(std::string_view name, std::string_view description) {
    all.push_back(plant_probe<&fed<output>>(name, ProbeKind::boolean, "", description));
  };
  add.operator()<&A::k1>("plant.k1_fed", "K1's coil circuit has its supply, before the chain");
  add.operator()<&A::k2>("plant.k2_fed", "K2's coil circuit has its supply, before the chain");
  add.operator()<&A::fan>("plant.fan_fed", "the circulation fan has its supply");
  add.operator()<&A::purge_valve>("plant.purge_valve_fed", "the purge valve's coil has its supply");
  add.operator()<&A::process_valve>("plant.process_valve_fed",
                                    "the process valve's coil has its supply");
  add.operator()<&A::blower>("plant.blower_fed", "the cooling blowers have their supply");
}

void add_plant(std::vector<Probe>& all) {
  using T = plant::Truth;
  all.insert(
      all.end(),
      {truth_probe<&T::element_degC>("plant.element", "degC", "hottest part of the elements"),
       truth_probe<&T::gas_degC>("plant.gas", "degC", "circulating gas"),
       truth_probe<&T::wall_degC>("plant.wall", "degC", "chamber wall"),
       truth_probe<&T::load_degC>("plant.load", "degC", "outside of the load"),
       truth_probe<&T::load_inside_degC>("plant.load_inside", "degC", "inside of the load"),
       truth_probe<&T::handled_degC>(
           "plant.handled", "degC", "hottest of what people touch: load, its inside, chamber wall"),
       truth_probe<&T::casing_degC>("plant.casing", "degC", "outer casing"),
       truth_ppm<&T::oxygen>("plant.oxygen", "oxygen in the chamber, mean mole fraction"),
       plant_probe<&worst_oxygen_ppm>("plant.oxygen_worst", ProbeKind::number, "ppm",
                                      "oxygen in the pockets or the stirred zone, the higher"),
       truth_ppm<&T::room_oxygen>("plant.room_oxygen", "oxygen in the room"),
       truth_probe<&T::pressure_Pa>("plant.pressure", "Pa", "chamber gauge pressure"),
       truth_probe<&T::purge_L_per_min>("plant.purge_flow", "L/min", "gas through the purge path"),
       truth_probe<&T::process_L_per_min>("plant.process_flow", "L/min",
                                          "gas through the process path"),
       truth_probe<&T::blanket_L_per_min>("plant.blanket_flow", "L/min",
                                          "gas through the blanket's regulator and throttle"),
       truth_probe<&T::gas_L_per_min>("plant.gas_flow", "L/min",
                                      "gas taken from the supply, all ways together"),
       truth_probe<&T::exhaust_L_per_min>("plant.exhaust_flow", "L/min",
                                          "out of the exhaust; negative: air comes in"),
       truth_probe<&T::relief_L_per_min>("plant.relief_flow", "L/min",
                                         "out of the relief valve; negative: air comes in"),
       truth_probe<&T::vacuum_relief_L_per_min>("plant.vacuum_relief_flow", "L/min",
                                                "air in through the vacuum relief valve"),
       truth_flag<&T::k1_closed>("plant.k1_closed", "main contacts of the regulating contactor"),
       truth_flag<&T::k2_closed>("plant.k2_closed", "main contacts of the safety contactor"),
       truth_probe<&T::heater_W>("plant.heater_power", "W", "electric power in the elements"),
       truth_probe<&T::fan_airflow>("plant.fan_airflow", "1", "share of full circulation"),
       truth_probe<&T::door_opening>("plant.door_opening", "1", "0 closed, 1 open"),
       truth_probe<&T::purge_valve>("plant.purge_valve", "1", "position of the purge valve"),
       truth_probe<&T::process_valve>("plant.process_valve", "1", "position of the process valve"),
       truth_probe<&T::door_gas_valve>("plant.door_gas_valve", "1",
                                       "position of the gas valve that the door works"),
       truth_probe<&T::damper_opening>("plant.damper_opening", "1", "position of the damper"),
       truth_probe<&T::blower_speed>("plant.blower_speed", "1", "share of full speed"),
       truth_probe<&T::jacket_W>("plant.jacket_heat", "W", "heat taken by the jacket's air"),
       truth_probe<&T::gas_used_L>("plant.gas_used", "L", "gas taken from the supply"),
       truth_probe<&T::energy_kWh>("plant.energy", "kWh", "energy into the elements")});
}

template <hal::DigitalIn point>
double contact(const Rig& rig) {
  return rig.board().input_image().energised(point) ? 1.0 : 0.0;
}

template <hal::AnalogIn point>
double counts(const Rig& rig) {
  return rig.board().input_image().count(point);
}

/// The process image: with it recorded at every scan, a run can be replayed exactly.
void add_inputs(std::vector<Probe>& all) {
  using hal::AnalogIn;
  using hal::DigitalIn;
  const auto add = [&all]<DigitalIn point>(std::string_view name, std::string_view description) {
    all.push_back({name, ProbeKind::boolean, "", {}, description, &contact<point>});
  };
  const auto add_counts = [&all]<AnalogIn point>(std::string_view name,
                                                 std::string_view description) {
    all.push_back({name, ProbeKind::number, "1", {}, description, &counts<point>});
  };
  add.operator()<DigitalIn::door_closed_1>("input.door_closed_1", "first door contact, as read");
  add.operator()<DigitalIn::door_closed_2>("input.door_closed_2", "second door contact, as read");
  add.operator()<DigitalIn::start_button>("input.start_button", "start button, as read");
  add.operator()<DigitalIn::stop_button>("input.stop_button", "0 while the stop button is pressed");
  add.operator()<DigitalIn::reset_button>("input.reset_button", "reset button, as read");
  add.operator()<DigitalIn::estop_healthy>("input.estop_healthy", "emergency stop not operated");
  add.operator()<DigitalIn::limiter_healthy>("input.limiter_healthy", "limiter not tripped");
  add.operator()<DigitalIn::gas_supply_ok>("input.gas_supply_ok", "gas supply pressure sufficient");
  add.operator()<DigitalIn::purge_flow>("input.purge_flow", "purge flow proven");
  add.operator()<DigitalIn::process_flow>("input.process_flow", "process flow proven");
  add.operator()<DigitalIn::fan_running>("input.fan_running", "circulation airflow proven");
  add.operator()<DigitalIn::k1_open>("input.k1_open", "mirror contact of the regulating contactor");
  add.operator()<DigitalIn::k2_open>("input.k2_open", "mirror contact of the safety contactor");
  add.operator()<DigitalIn::damper_open>("input.damper_open", "damper at its open end");
  add.operator()<DigitalIn::damper_closed>("input.damper_closed", "damper at its closed end");
  add.operator()<DigitalIn::blower_running>("input.blower_running", "cooling airflow proven");
  add_counts.operator()<AnalogIn::te_a>("input.te_a", "control thermocouple A, counts");
  add_counts.operator()<AnalogIn::te_b>("input.te_b", "control thermocouple B, counts");
  add_counts.operator()<AnalogIn::cold_junction>("input.cold_junction",
                                                 "thermocouple terminals, counts");
  add_counts.operator()<AnalogIn::oxygen_cell>("input.oxygen_cell", "oxygen cell, counts");
  add_counts.operator()<AnalogIn::oxygen_cell_tc>("input.oxygen_cell_tc",
                                                  "oxygen cell's thermocouple, counts");
  add_counts.operator()<AnalogIn::oxygen_loop>("input.oxygen_loop", "oxygen transmitter, counts");
}

template <DigitalOut point>
double output(const Rig& rig) {
  return rig.board().field_outputs().energised(point) ? 1.0 : 0.0;
}

void add_board(std::vector<Probe>& all) {
  const auto add_output = [&all]<DigitalOut point>(std::string_view name,
                                                   std::string_view description) {
    all.push_back({name, ProbeKind::boolean, "", {}, description, &output<point>});
  };
  add_output.operator()<DigitalOut::k1>("board.k1", "coil of the regulating contactor");
  add_output.operator()<DigitalOut::k2>("board.k2", "coil of the safety contactor");
  add_output.operator()<DigitalOut::fan>("board.fan", "circulation fan");
  add_output.operator()<DigitalOut::purge_valve>("board.purge_valve", "coil of XV-1");
  add_output.operator()<DigitalOut::process_valve>("board.process_valve", "coil of XV-2");
  add_output.operator()<DigitalOut::damper>("board.damper", "drives the damper open");
  add_output.operator()<DigitalOut::blower>("board.blower", "cooling blowers");
  add_output.operator()<DigitalOut::run_lamp>("board.run_lamp", "run lamp");
  add_output.operator()<DigitalOut::fault_lamp>("board.fault_lamp", "fault lamp");
  add_output.operator()<DigitalOut::horn>("board.horn", "horn");
  all.push_back(
      {"board.anything",
       ProbeKind::boolean,
       "",
       {},
       "any actuator is energised at its terminals",
       [](const Rig& rig) { return anything_energised(rig.board().field_outputs()) ? 1.0 : 0.0; }});
  all.push_back(
      {"board.heater_drive", ProbeKind::number, "1", {}, "heater drive, 0..1", [](const Rig& rig) {
         return rig.board().field_outputs().heater_permille / 1000;
       }});
}

void add_hands(std::vector<Probe>& all) {
  const auto add = [&all](std::string_view name, std::string_view description,
                          double (*read)(const Rig&)) {
    all.push_back({name, ProbeKind::boolean, "", {}, description, read});
  };
  add("hands.start", "start button pressed",
      [](const Rig& r) { return r.hands.start ? 1.0 : 0.0; });
  add("hands.stop", "stop button pressed", [](const Rig& r) { return r.hands.stop ? 1.0 : 0.0; });
  add("hands.reset", "reset button pressed",
      [](const Rig& r) { return r.hands.reset ? 1.0 : 0.0; });
  add("hands.estop", "emergency stop pressed",
      [](const Rig& r) { return r.hands.estop ? 1.0 : 0.0; });
  add("hands.door_open", "the door is wanted open",
      [](const Rig& r) { return r.hands.door_open ? 1.0 : 0.0; });
  add("hands.reaching_in", "somebody works in the opening of the door",
      [](const Rig& r) { return r.hands.reaching_in ? 1.0 : 0.0; });
  add("machine.start_by_door", "closing the door may start a cycle",
      [](const Rig& r) { return r.starts_by_door() ? 1.0 : 0.0; });
}

void add_controller(std::vector<Probe>& all) {
  using controller::Controller;
  all.insert(
      all.end(),
      {Probe{"powered",
             ProbeKind::boolean,
             "",
             {},
             "the controller has power",
             [](const Rig& rig) { return rig.controller_runs() ? 1.0 : 0.0; }},
       Probe{"phase", ProbeKind::state, "", phases, "state of the sequence",
             [](const Rig& rig) {
               return rig.controller_runs() ? static_cast<double>(rig.controller().commands().phase)
                                            : 0.0;
             }},
       Probe{"gas_path", ProbeKind::state, "", paths, "gas routing",
             [](const Rig& rig) {
               return rig.controller_runs() ? static_cast<double>(rig.controller().commands().gas)
                                            : 0.0;
             }},
       Probe{"fan_state", ProbeKind::state, "", fan_states, "circulation fan",
             [](const Rig& rig) {
               return rig.controller_runs() ? static_cast<double>(rig.controller().commands().fan)
                                            : 0.0;
             }},
       Probe{"jacket_state", ProbeKind::state, "", jacket_states, "jacket cooling",
             [](const Rig& rig) {
               return rig.controller_runs()
                          ? static_cast<double>(rig.controller().commands().jacket)
                          : 0.0;
             }},
       Probe{"armed",
             ProbeKind::boolean,
             "",
             {},
             "closing the door would start a cycle",
             [](const Rig& rig) {
               return rig.controller_runs() && rig.controller().commands().armed ? 1.0 : 0.0;
             }},
       Probe{"reading.temperature",
             ProbeKind::number,
             "degC",
             {},
             "chamber temperature as measured",
             [](const Rig& rig) {
               return rig.controller_runs()
                          ? double{rig.controller().instruments().temperature().value.value}
                          : 0.0;
             }},
       Probe{"reading.oxygen",
             ProbeKind::number,
             "ppm",
             {},
             "oxygen as measured",
             [](const Rig& rig) {
               return rig.controller_runs()
                          ? double{rig.controller().instruments().oxygen().value.value}
                          : 0.0;
             }},
       Probe{"setpoint",
             ProbeKind::number,
             "degC",
             {},
             "temperature programme; 0 when idle",
             [](const Rig& rig) {
               if (!rig.controller_runs()) return 0.0;
               const auto& programme = rig.controller().regulation().programme();
               return programme.active() ? double{programme.setpoint().value} : 0.0;
             }}});
}

}  // namespace

const std::vector<Probe>& probes() {
  static const std::vector<Probe> all = [] {
    std::vector<Probe> list;
    add_plant(list);
    add_fed(list);
    add_inputs(list);
    add_board(list);
    add_hands(list);
    add_controller(list);
    add_logic_probes(list);
    return list;
  }();
  return all;
}

const Probe* find_probe(std::string_view name) {
  const auto found = std::find_if(probes().begin(), probes().end(),
                                  [name](const Probe& probe) { return probe.name == name; });
  return found == probes().end() ? nullptr : &*found;
}

void read_all(const Rig& rig, std::span<double> row) {
  static const ProbeReader reader = [] {
    std::vector<std::size_t> all(probes().size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    return ProbeReader(std::move(all));
  }();
  reader.read(rig, row);
}

ProbeReader::ProbeReader(std::vector<std::size_t> chosen) {
  std::sort(chosen.begin(), chosen.end());
  chosen.erase(std::unique(chosen.begin(), chosen.end()), chosen.end());
  for (const std::size_t index : chosen) {
    (probes().at(index).from_truth != nullptr ? truths_ : others_).push_back(index);
  }
}

void ProbeReader::read(const Rig& rig, std::span<double> row) const {
  const std::vector<Probe>& all = probes();
  if (!truths_.empty()) {
    const plant::Truth truth = rig.truth();
    for (const std::size_t index : truths_) row[index] = all[index].from_truth(truth);
  }
  for (const std::size_t index : others_) row[index] = all[index].read(rig);
}

}  // namespace ovenproof::rig
