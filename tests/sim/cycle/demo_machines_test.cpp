#include <algorithm>
#include <string>
#include <variant>
#include <vector>

#include <doctest/doctest.h>

#include "sim/cycle/run.hpp"
#include "sim/machine/load.hpp"

using namespace ovenproof;
using logic::Phase;

namespace {

machine::Machine demo(const std::string& name) {
  auto loaded =
      machine::load_file(std::string(SOURCE_DIR) + "/scenarios/machines/" + name + ".yaml");
  REQUIRE(std::holds_alternative<machine::Machine>(loaded));
  return std::get<machine::Machine>(std::move(loaded));
}

/// One cycle as somebody notes it who stands beside the oven with a watch, a flow meter and a
/// wattmeter.
struct Noted {
  std::vector<std::pair<Phase, double>> phases;  ///< with the time each was first seen in
  double peak_degC = -300.0;
  double gas_L = 0.0;
  double heater_J = 0.0;
  double lowest_room_oxygen = 1.0;
  double oxygen_at_ramp = -1.0;
  double highest_oxygen_in_soak = 0.0;
  double soak_s = 0.0;
  double low_oxygen_s = 0.0;
  double reached_oxygen = 1.0;
  double handled_degC = 0.0;
  double above_K = 0.0;
  double below_K = 0.0;

  [[nodiscard]] double first(Phase phase) const {
    const auto found = std::find_if(phases.begin(), phases.end(),
                                    [phase](const auto& each) { return each.first == phase; });
    REQUIRE(found != phases.end());
    return found->second;
  }
};

class Notebook {
 public:
  void look(const rig::Rig& rig) {
    const Phase phase = rig.controller().commands().phase;
    const double now_s = static_cast<double>(rig.now_ms()) / 1000.0;
    const plant::Truth truth = rig.truth();
    if (phase == Phase::purging && last_ != Phase::purging) {
      cycles.emplace_back();
      segment_ = 0;
    }
    if (rig.hands.start && !start_held_) ++start_presses;
    start_held_ = rig.hands.start;
    const bool in_cycle = phase != Phase::standby && phase != Phase::tripped;
    if (in_cycle) note(rig, phase, now_s, truth);
    if (!cycles.empty() && truth.door_opening > 0.0) note_unloading(rig, truth);
    last_ = phase;
  }

  std::vector<Noted> cycles;
  int start_presses = 0;

 private:
  void note_unloading(const rig::Rig& rig, const plant::Truth& truth) {
    Noted& cycle = cycles.back();
    if (truth.oxygen < 0.195) cycle.low_oxygen_s += 0.01;
    if (!rig.hands.reaching_in) return;
    cycle.reached_oxygen = std::min(cycle.reached_oxygen, truth.oxygen);
    cycle.handled_degC =
        std::max({cycle.handled_degC, truth.load_degC, truth.load_inside_degC, truth.wall_degC});
  }

  void note(const rig::Rig& rig, Phase phase, double now_s, const plant::Truth& truth) {
    constexpr double scan_s = 0.01;
    Noted& cycle = cycles.back();
    if (phase != last_) {
      cycle.phases.emplace_back(phase, now_s);
      in_band_ = false;
      if (phase == Phase::ramp && last_ == Phase::soak) ++segment_;
      if (phase == Phase::ramp && last_ == Phase::purging) cycle.oxygen_at_ramp = truth.oxygen;
    }
    cycle.peak_degC = std::max(cycle.peak_degC, truth.gas_degC);
    cycle.lowest_room_oxygen = std::min(cycle.lowest_room_oxygen, truth.room_oxygen);
    cycle.gas_L += truth.gas_L_per_min * scan_s / 60.0;
    cycle.heater_J += truth.heater_W * scan_s;
    if (phase != Phase::soak) return;
    cycle.soak_s += scan_s;
    cycle.highest_oxygen_in_soak = std::max(cycle.highest_oxygen_in_soak, truth.oxygen);
    const settings::Programme& programme = rig.controller().configuration().settings.programme;
    const double error_K = truth.gas_degC - programme.segments[segment_].target.value;
    in_band_ = in_band_ || std::abs(error_K) <= programme.soak_band.value;
    cycle.above_K = std::max(cycle.above_K, error_K);
    if (in_band_) cycle.below_K = std::max(cycle.below_K, -error_K);
  }

  Phase last_ = Phase::tripped;
  std::size_t segment_ = 0;
  bool start_held_ = false;
  bool in_band_ = false;
};

doctest::Approx near(double value, double relative) {
  return doctest::Approx(value).epsilon(relative).scale(0.0);
}

void check_figures(const cycle::Figures& figures, const Noted& noted) {
  const double purging_s = noted.first(Phase::purging);
  const double ramp_s = noted.first(Phase::ramp);
  const double soak_s = noted.first(Phase::soak);
  const double cooling_s = noted.first(Phase::cooling);
  const double unloading_s = noted.first(Phase::unloading);
  CHECK(figures.complete);
  CHECK(figures.repurges == 0);
  CHECK(figures.start_s == doctest::Approx(purging_s));
  CHECK(figures.purge_s.value() == doctest::Approx(ramp_s - purging_s));
  CHECK(figures.heat_up_s.value() == doctest::Approx(soak_s - ramp_s));
  CHECK(figures.cool_down_s.value() == doctest::Approx(unloading_s - cooling_s));
  CHECK(figures.end_s >= unloading_s);
  CHECK(figures.soak_s.value() == near(noted.soak_s, 1e-3));
  CHECK(figures.oxygen_at_gate_ppm.value() == near(1e6 * noted.oxygen_at_ramp, 1e-9));
  CHECK(figures.oxygen_in_soak_ppm.value() == near(1e6 * noted.highest_oxygen_in_soak, 1e-9));
  CHECK(figures.soak_high_K.value() == doctest::Approx(noted.above_K));
  CHECK(figures.soak_low_K.value() == doctest::Approx(noted.below_K));
  CHECK(figures.peak_degC == noted.peak_degC);
  CHECK(figures.lowest_room_oxygen == noted.lowest_room_oxygen);
  CHECK(figures.low_oxygen_s.value() == near(noted.low_oxygen_s, 1e-6));
  CHECK(figures.low_oxygen_s.value() > 20.0);
  CHECK(figures.reached_oxygen.value() == noted.reached_oxygen);
  CHECK(figures.handled_degC.value() == noted.handled_degC);
  // Flows and power change within integration steps that the note-taker does not see.
  CHECK(figures.gas_L == near(noted.gas_L, 0.01));
  CHECK(figures.energy_kWh == near(noted.heater_J / 3.6e6, 0.01));
}

/// Two cycles of a demonstration machine, noted and judged.
Notebook two_cycles(const machine::Machine& machine) {
  Notebook notebook;
  const cycle::RunResult result =
      cycle::run({machine.plant, machine.settings, {}, {}}, {.cycles = 2},
                 [&notebook](const rig::Rig& rig) { notebook.look(rig); }, {});
  CHECK(result.gave_up == "");
  CHECK(result.all_holds());
  CHECK(result.cycles_completed == 2);
  CHECK_FALSE(result.first_trip);
  for (const hazards::HazardVerdict& each : result.hazards) {
    CAPTURE(each.id);
    CHECK(each.avoided);
    CHECK_FALSE(each.first_ms);
  }
  REQUIRE(result.cycles.size() == 2);
  REQUIRE(notebook.cycles.size() == 2);
  for (std::size_t i = 0; i < 2; ++i) check_figures(result.cycles[i], notebook.cycles[i]);

  // What the machine file asks for occurred in the oven, not only in the controller.
  const settings::Settings& s = machine.settings;
  const settings::Segment& last = s.programme.segments[s.programme.segment_count - 1];
  for (const Noted& noted : notebook.cycles) {
    CHECK(noted.peak_degC == doctest::Approx(last.target.value).epsilon(0.01));
    double asked_s = 0.0;
    for (std::size_t i = 0; i < s.programme.segment_count; ++i) {
      asked_s += s.programme.segments[i].soak.value / 1000.0;
    }
    CHECK(noted.soak_s >= asked_s - 1.0);
    CHECK(noted.soak_s < 1.25 * asked_s);
    CHECK(noted.oxygen_at_ramp * 1e6 < machine.plant.load.max_oxygen_ppm);
  }
  return notebook;
}

}  // namespace

TEST_CASE("bronze strip: two cycles without a hazard, the second started by closing the door") {
  const machine::Machine machine = demo("bronze_strip_160");
  REQUIRE(machine.settings.options.start_by_door);
  CHECK(two_cycles(machine).start_presses == 1);
}

TEST_CASE("titanium brackets: two cycles without a hazard, both started by the button") {
  const machine::Machine machine = demo("titanium_bracket_90");
  REQUIRE_FALSE(machine.settings.options.start_by_door);
  CHECK(two_cycles(machine).start_presses == 2);
}

TEST_CASE("coil windings: two cycles without a hazard in three steps, both by the button") {
  const machine::Machine machine = demo("coil_anneal_300");
  REQUIRE(machine.settings.programme.segment_count == 3);
  const Notebook notebook = two_cycles(machine);
  CHECK(notebook.start_presses == 2);
  for (const Noted& noted : notebook.cycles) {
    CHECK(std::count_if(noted.phases.begin(), noted.phases.end(),
                        [](const auto& each) { return each.first == Phase::soak; }) == 3);
  }
}
