#include "sim/rig/probes.hpp"

#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "firmware/logic/matrix.hpp"
#include "oven_rig.hpp"
#include "sim/properties/signal_table.hpp"
#include "sim/properties/units.hpp"

using namespace ovenproof;
using hal::DigitalOut;
using logic::Phase;
using rig::Hands;
using rig::Probe;
using rig::ProbeKind;
using rig::Rig;
using rig::testing::OvenAtHand;

namespace {

using Meaning = std::function<double(const Rig&)>;

template <class Member>
Meaning truth(Member member, double scale = 1.0) {
  return
      [member, scale](const Rig& rig) { return static_cast<double>(rig.truth().*member) * scale; };
}

Meaning fed(bool plant::Actuation::*which) {
  return [which](const Rig& rig) { return rig.plant().state().fed.*which ? 1.0 : 0.0; };
}

Meaning coil(DigitalOut point) {
  return [point](const Rig& rig) { return rig.board().field_outputs().energised(point); };
}

Meaning hand(bool Hands::*which) {
  return [which](const Rig& rig) { return rig.hands.*which; };
}

/// What only the controller knows; 0 without power.
Meaning told(std::function<double(const controller::Controller&)> what) {
  return [what](const Rig& rig) { return rig.controller_runs() ? what(rig.controller()) : 0.0; };
}

/// What each probe must read, said a second time.
const std::map<std::string_view, Meaning>& meanings() {
  using T = plant::Truth;
  using controller::Controller;
  static const std::map<std::string_view, Meaning> all{
      {"plant.k1_fed", fed(&plant::Actuation::k1)},
      {"plant.k2_fed", fed(&plant::Actuation::k2)},
      {"plant.fan_fed", fed(&plant::Actuation::fan)},
      {"plant.purge_valve_fed", fed(&plant::Actuation::purge_valve)},
      {"plant.process_valve_fed", fed(&plant::Actuation::process_valve)},
      {"plant.blower_fed", fed(&plant::Actuation::blower)},
      {"plant.element", truth(&T::element_degC)},
      {"plant.gas", truth(&T::gas_degC)},
      {"plant.wall", truth(&T::wall_degC)},
      {"plant.load", truth(&T::load_degC)},
      {"plant.load_inside", truth(&T::load_inside_degC)},
      {"plant.handled",
       [](const Rig& rig) {
         const T t = rig.truth();
         return std::max({t.load_degC, t.load_inside_degC, t.wall_degC});
       }},
      {"plant.casing", truth(&T::casing_degC)},
      {"plant.oxygen", truth(&T::oxygen, 1e6)},
      {"plant.oxygen_worst",
       [](const Rig& rig) {
         const T all = rig.truth();
         return 1e6 * std::max(all.oxygen_stirred, all.oxygen_pockets);
       }},
      {"plant.room_oxygen", truth(&T::room_oxygen, 1e6)},
      {"plant.pressure", truth(&T::pressure_Pa)},
      {"plant.purge_flow", truth(&T::purge_L_per_min)},
      {"plant.process_flow", truth(&T::process_L_per_min)},
      {"plant.blanket_flow", truth(&T::blanket_L_per_min)},
      {"plant.gas_flow", truth(&T::gas_L_per_min)},
      {"plant.exhaust_flow", truth(&T::exhaust_L_per_min)},
      {"plant.relief_flow", truth(&T::relief_L_per_min)},
      {"plant.vacuum_relief_flow", truth(&T::vacuum_relief_L_per_min)},
      {"plant.k1_closed", truth(&T::k1_closed)},
      {"plant.k2_closed", truth(&T::k2_closed)},
      {"plant.heater_power", truth(&T::heater_W)},
      {"plant.fan_airflow", truth(&T::fan_airflow)},
      {"plant.door_opening", truth(&T::door_opening)},
      {"plant.purge_valve", truth(&T::purge_valve)},
      {"plant.process_valve", truth(&T::process_valve)},
      {"plant.door_gas_valve", truth(&T::door_gas_valve)},
      {"plant.damper_opening", truth(&T::damper_opening)},
      {"plant.blower_speed", truth(&T::blower_speed)},
      {"plant.jacket_heat", truth(&T::jacket_W)},
      {"plant.gas_used", truth(&T::gas_used_L)},
      {"plant.energy", truth(&T::energy_kWh)},
      {"board.k1", coil(DigitalOut::k1)},
      {"board.k2", coil(DigitalOut::k2)},
      {"board.fan", coil(DigitalOut::fan)},
      {"board.purge_valve", coil(DigitalOut::purge_valve)},
      {"board.process_valve", coil(DigitalOut::process_valve)},
      {"board.damper", coil(DigitalOut::damper)},
      {"board.blower", coil(DigitalOut::blower)},
      {"board.run_lamp", coil(DigitalOut::run_lamp)},
      {"board.fault_lamp", coil(DigitalOut::fault_lamp)},
      {"board.horn", coil(DigitalOut::horn)},
      {"board.anything",
       [](const Rig& rig) {
         const mock::FieldOutputs& out = rig.board().field_outputs();
         for (const DigitalOut point :
              {DigitalOut::k1, DigitalOut::k2, DigitalOut::fan, DigitalOut::purge_valve,
               DigitalOut::process_valve, DigitalOut::damper, DigitalOut::blower}) {
           if (out.energised(point)) return 1.0;
         }
         return out.heater_permille > 0.0 ? 1.0 : 0.0;
       }},
      {"board.heater_drive",
       [](const Rig& rig) { return rig.board().field_outputs().heater_permille / 1000.0; }},
      {"hands.start", hand(&Hands::start)},
      {"hands.stop", hand(&Hands::stop)},
      {"hands.reset", hand(&Hands::reset)},
      {"hands.estop", hand(&Hands::estop)},
      {"hands.door_open", hand(&Hands::door_open)},
      {"hands.reaching_in", hand(&Hands::reaching_in)},
      {"machine.start_by_door",
       told([](const Controller& c) { return double(c.configuration().options.start_by_door); })},
      {"first_out",
       [](const Rig& rig) {
         return double(rig.controller_runs() ? rig.controller().logic().memory().first_out
                                             : logic::Cause::none);
       }},
      {"powered", [](const Rig& rig) { return double(rig.board().powered()); }},
      {"phase", told([](const Controller& c) { return double(c.commands().phase); })},
      {"gas_path", told([](const Controller& c) { return double(c.commands().gas); })},
      {"fan_state", told([](const Controller& c) { return double(c.commands().fan); })},
      {"jacket_state", told([](const Controller& c) { return double(c.commands().jacket); })},
      {"command.count_purge", told([](const Controller& c) { return c.commands().count_purge; })},
      {"command.acknowledge", told([](const Controller& c) { return c.commands().acknowledge; })},
      {"command.programme_restart",
       told([](const Controller& c) { return c.commands().programme_restart; })},
      {"command.programme_advance",
       told([](const Controller& c) { return c.commands().programme_advance; })},
      {"armed", told([](const Controller& c) { return double(c.logic().memory().armed); })},
      {"reading.temperature",
       told([](const Controller& c) { return double{c.instruments().temperature().value.value}; })},
      {"reading.oxygen",
       told([](const Controller& c) { return double{c.instruments().oxygen().value.value}; })},
      {"setpoint", told([](const Controller& c) {
         const control::Programme& programme = c.regulation().programme();
         return programme.active() ? double{programme.setpoint().value} : 0.0;
       })},
  };
  return all;
}

/// Whether the name is the prefix and one of so many names; then its index.
template <class NameOf>
std::optional<std::size_t> index_of(std::string_view name, std::string_view prefix,
                                    std::size_t count, NameOf name_of) {
  if (!name.starts_with(prefix)) return std::nullopt;
  for (std::size_t i = 0; i < count; ++i) {
    if (name.substr(prefix.size()) == name_of(i)) return i;
  }
  return std::nullopt;
}

std::optional<std::size_t> fact_index(std::string_view name) {
  return index_of(name, "fact.", logic::fact_count,
                  [](std::size_t i) { return logic::name_of(static_cast<logic::Fact>(i)); });
}
std::optional<std::size_t> command_index(std::string_view name) {
  return index_of(name, "command.", logic::output_count,
                  [](std::size_t i) { return logic::name_of(static_cast<logic::Output>(i)); });
}
std::optional<std::size_t> timer_index(std::string_view name) {
  return index_of(name, "timer.", logic::timer_count,
                  [](std::size_t i) { return logic::name_of(static_cast<logic::Timer>(i)); });
}
std::optional<std::size_t> cause_index(std::string_view name) {
  return index_of(name, "cause.", logic::cause_count,
                  [](std::size_t i) { return logic::matrix[i].key; });
}
std::optional<std::size_t> input_index(std::string_view name) {
  return index_of(name, "input.", mock::Point::count,
                  [](std::size_t i) { return mock::point_names[i]; });
}

/// Probes that come in families are named for their points, facts, outputs and causes.
std::optional<Meaning> meaning_of(std::string_view name) {
  using controller::Controller;
  if (const auto index = input_index(name)) {
    if (*index < hal::digital_in_count) {
      return [i = *index](const Rig& rig) {
        return rig.board().input_image().energised(static_cast<hal::DigitalIn>(i));
      };
    }
    return [i = *index - hal::digital_in_count](const Rig& rig) {
      return rig.board().input_image().counts[i];
    };
  }
  if (const auto index = fact_index(name)) {
    return told([i = *index](const Controller& c) { return double(c.facts().bits() >> i & 1U); });
  }
  if (const auto index = command_index(name)) {
    return told([i = *index](const Controller& c) {
      return double(c.logic().memory().energised.has(static_cast<logic::Output>(i)));
    });
  }
  if (const auto index = timer_index(name)) {
    return told(
        [i = *index](const Controller& c) { return double(c.commands().timers >> i & 1U); });
  }
  if (const auto index = cause_index(name)) {
    return told([i = *index](const Controller& c) { return double(c.present_causes() >> i & 1U); });
  }
  const auto found = meanings().find(name);
  if (found == meanings().end()) return std::nullopt;
  return found->second;
}

/// A cycle does not make every fact and cause come and go.
bool in_logic_family(std::string_view name) {
  return fact_index(name) || command_index(name) || timer_index(name) || cause_index(name);
}

/// Scan by scan: whether each probe reads what it says, and how many values it has shown.
class Comparison {
 public:
  void look(const Rig& rig) {
    for (const Probe& probe : rig::probes()) {
      const double shown = probe.read(rig);
      Meaning& meaning = meanings_[probe.name];
      if (!meaning) {
        const std::optional<Meaning> found = meaning_of(probe.name);
        REQUIRE_MESSAGE(found, std::string(probe.name));
        meaning = *found;
      }
      if (probe.name == "machine.start_by_door" && !rig.controller_runs()) continue;
      REQUIRE_MESSAGE(shown == meaning(rig), std::string(probe.name));
      std::set<double>& values = seen_[probe.name];
      if (values.size() < 50) values.insert(shown);
    }
  }
  [[nodiscard]] std::size_t values_of(std::string_view name) const {
    const auto found = seen_.find(name);
    return found == seen_.end() ? 0 : found->second.size();
  }

 private:
  std::map<std::string_view, Meaning> meanings_;
  std::map<std::string_view, std::set<double>> seen_;
};

}  // namespace

TEST_CASE("probes have names of the property language, each once, and units it knows") {
  std::set<std::string_view> names;
  for (const Probe& probe : rig::probes()) {
    CAPTURE(std::string(probe.name));
    CHECK(names.insert(probe.name).second);
    CHECK(properties::is_name(probe.name));
    CHECK_FALSE(properties::is_reserved_word(probe.name));
    CHECK_FALSE(probe.description.empty());
    CHECK((probe.kind == ProbeKind::number) == !probe.unit.empty());
    CHECK((probe.kind == ProbeKind::state) == !probe.labels.empty());
    if (!probe.unit.empty()) CHECK(properties::parse_unit(probe.unit).has_value());
    CHECK(rig::find_probe(probe.name) == &probe);
  }
  // Nothing is missing that this test knows the meaning of.
  CHECK(names.size() == meanings().size() + hal::digital_in_count + hal::analog_in_count +
                            logic::fact_count + logic::output_count + logic::timer_count +
                            logic::cause_count);
  CHECK(rig::find_probe("plant.nonsense") == nullptr);
  CHECK(rig::find_probe("") == nullptr);
}

TEST_CASE("states are called by the names that the logic gives them") {
  const auto labels = [](std::string_view name) { return rig::find_probe(name)->labels; };
  REQUIRE(labels("phase").size() == logic::phase_count);
  for (std::size_t i = 0; i < logic::phase_count; ++i) {
    CHECK(labels("phase")[i] == logic::name_of(static_cast<Phase>(i)));
  }
  REQUIRE(labels("first_out").size() == logic::cause_count + 1);
  for (std::size_t i = 0; i < logic::cause_count; ++i) {
    CHECK(labels("first_out")[i] == logic::matrix[i].key);
  }
  CHECK(labels("first_out")[logic::cause_count] == "none");
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK(labels("gas_path")[i] == logic::name_of(static_cast<logic::GasPath>(i)));
  }
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(labels("fan_state")[i] == logic::name_of(static_cast<logic::FanState>(i)));
    CHECK(labels("jacket_state")[i] == logic::name_of(static_cast<logic::JacketState>(i)));
  }
}

TEST_CASE("each probe reads what it says through a cycle, and has been seen to change") {
  rig::Oven by_door = rig::testing::quick_oven();
  by_door.settings.options.start_by_door = true;
  settings::Programme& programme = by_door.settings.programme;
  programme.segments[1] = programme.segments[0];
  programme.segment_count = 2;
  by_door.plant.exhaust.relief_pressure_Pa = 500.0;  // opens while purging
  by_door.plant.exhaust.relief_conductance_L_per_min_Pa = 0.4;
  by_door.plant.chamber.vacuum_relief_pressure_Pa = 5.0;
  by_door.plant.chamber.vacuum_relief_conductance_L_per_min_Pa = 0.1;
  by_door.plant.blanket.pressure_Pa = 50.0;
  by_door.plant.door.gas_valve_opening = 0.04;
  OvenAtHand oven(by_door);
  Comparison comparison;
  const auto watch_s = [&](double seconds) {
    for (int scan = 0; scan < static_cast<int>(seconds * 100.0); ++scan) {
      oven.rig.step();
      const logic::Commands& commands = oven.rig.controller().commands();
      const bool asks =
          commands.acknowledge || commands.programme_restart || commands.programme_advance;
      if (scan % 10 == 0 || asks) comparison.look(oven.rig);
    }
  };
  const auto watch_press = [&](bool Hands::*button) {
    oven.rig.hands.*button = true;
    watch_s(0.3);
    oven.rig.hands.*button = false;
    watch_s(0.3);
  };
  watch_s(30.0);
  watch_press(&Hands::reset);
  watch_press(&Hands::start);
  for (int s = 0; s < 7200 && oven.phase() != Phase::unloading; ++s) watch_s(1.0);
  REQUIRE(oven.phase() == Phase::unloading);
  watch_press(&Hands::door_open);
  oven.rig.hands.door_open = true;
  watch_s(5.0);
  REQUIRE(oven.rig.controller().commands().armed);
  watch_press(&Hands::reaching_in);
  watch_press(&Hands::stop);
  watch_press(&Hands::estop);
  oven.break_wire(hal::DigitalIn::limiter_healthy, mock::Open{});
  oven.rig.surroundings.supply_kPa = 0.0;
  watch_s(5.0);
  oven.rig.power_off();
  watch_s(1.0);

  OvenAtHand stopped_hot(by_door);
  REQUIRE(stopped_hot.start_and_reach(Phase::soak));
  stopped_hot.rig.hands.estop = true;
  for (int s = 0; s < 120; ++s) {
    stopped_hot.run_s(1.0);
    comparison.look(stopped_hot.rig);
  }

  const OvenAtHand by_button;
  CHECK(rig::find_probe("machine.start_by_door")->read(by_button.rig) == 0.0);
  CHECK(rig::find_probe("machine.start_by_door")->read(oven.rig) == 1.0);
  for (const Probe& probe : rig::probes()) {
    if (probe.name == "machine.start_by_door" || in_logic_family(probe.name)) continue;
    CAPTURE(std::string(probe.name));
    // The door works its gas valve at once: open or shut.
    const bool two = probe.kind != ProbeKind::number || probe.name == "plant.door_gas_valve";
    const std::size_t least = two ? 2 : 4;
    CHECK(comparison.values_of(probe.name) >= least);
  }
}

TEST_CASE("read all at once or a chosen few, the probes read the same as one by one") {
  OvenAtHand oven;
  REQUIRE(oven.start_and_reach(Phase::cooling));
  oven.run_s(20.0);
  std::vector<double> all(rig::probes().size(), -1.0);
  rig::read_all(oven.rig, all);
  for (std::size_t i = 0; i < all.size(); ++i) {
    CAPTURE(std::string(rig::probes()[i].name));
    CHECK(all[i] == rig::probes()[i].read(oven.rig));
  }

  std::vector<std::size_t> chosen;
  for (std::size_t i = 1; i < all.size(); i += 3) {
    chosen.push_back(i);
    chosen.push_back(i);  // twice does no harm
  }
  std::vector<double> some(rig::probes().size(), -1.0);
  rig::ProbeReader(chosen).read(oven.rig, some);
  for (std::size_t i = 0; i < some.size(); ++i) CHECK(some[i] == (i % 3 == 1 ? all[i] : -1.0));
}
