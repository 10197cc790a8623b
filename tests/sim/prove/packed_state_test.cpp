#include <set>

#include <doctest/doctest.h>

#include "prove_tools.hpp"

using namespace ovenproof;
using namespace ovenproof::prove;

TEST_CASE("a packed state unpacks to itself, for every state that the logic can be in") {
  for (const bool door : {false, true}) {
    const Subject subject{
        {.start_by_door = door},
        test::only_free(
            {logic::Fact::door_closed, logic::Fact::start_pressed, logic::Fact::reset_pressed,
             logic::Fact::fan_running, logic::Fact::process_flow, logic::Fact::ramp_complete,
             logic::Fact::soak_complete, logic::Fact::last_segment, logic::Fact::door_open,
             logic::Fact::cool_to_unload, logic::Fact::gas_settled, logic::Fact::purge_flow,
             logic::Fact::estop_healthy, logic::Fact::over_temperature, logic::Fact::damper_open,
             logic::Fact::elements_cool, logic::Fact::gas_supply_ok,
             logic::fact_of(logic::Timer::fan_not_proven)})};
    const Exploration e = explore(subject, Histories({}, subject.options), {});
    REQUIRE(e.states.size() > 300);
    for (std::size_t i = 0; i < e.states.size(); ++i) {
      const std::uint64_t bits = e.states.key(static_cast<StateStore::Index>(i)).logic;
      CHECK(pack(unpack(bits)) == bits);
    }
  }
}

TEST_CASE("each thing that the logic remembers makes another packed state") {
  using namespace logic;
  std::set<std::uint64_t> packed;
  std::size_t count = 0;
  const auto add = [&](auto change) {
    LogicState state;
    change(state);
    packed.insert(pack(state));
    CHECK(unpack(pack(state)) == state);
    ++count;
  };
  add([](LogicState&) {});
  for (std::size_t i = 1; i < phase_count; ++i) {
    add([i](LogicState& s) { s.places.phase = static_cast<Phase>(i); });
  }
  for (int i = 1; i < 3; ++i) add([i](LogicState& s) { s.places.gas = static_cast<GasPath>(i); });
  for (int i = 1; i < 4; ++i) {
    add([i](LogicState& s) { s.places.fan = static_cast<FanState>(i); });
    add([i](LogicState& s) { s.places.jacket = static_cast<JacketState>(i); });
    add([i](LogicState& s) { s.memory.repurges = static_cast<std::uint8_t>(i); });
  }
  add([](LogicState& s) { s.memory.start.rises(false); });
  add([](LogicState& s) { s.memory.reset.rises(false); });
  add([](LogicState& s) { s.memory.door.rises(false); });
  add([](LogicState& s) { s.memory.armed = true; });
  add([](LogicState& s) { s.memory.ended_normally = true; });
  add([](LogicState& s) { s.memory.gate_met = true; });
  add([](LogicState& s) { s.memory.blanket = true; });
  for (std::size_t i = 1; i <= cause_count; ++i) {
    add([i](LogicState& s) { s.memory.first_out = static_cast<Cause>(i); });
  }
  for (std::size_t i = 0; i < output_count; ++i) {
    const OutputSet one(static_cast<Output>(i));
    add([one](LogicState& s) { s.memory.latched = s.memory.latched - one; });
    add([one](LogicState& s) { s.memory.energised = one; });
    add([one](LogicState& s) { s.memory.withheld = one; });
  }
  CHECK(packed.size() == count);
}
