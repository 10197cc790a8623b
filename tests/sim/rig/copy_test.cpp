#include <array>
#include <bit>
#include <cstdint>

#include "oven_rig.hpp"
#include "property.hpp"
#include "sim/rig/probes.hpp"

using namespace ovenproof;
using rig::Hands;
using rig::Rig;
using rig::testing::OvenAtHand;

namespace {

/// Every bit that a rig shows: probes, facts, memory of the logic.
bool same(const Rig& a, const Rig& b) {
  for (const rig::Probe& probe : rig::probes()) {
    if (std::bit_cast<std::uint64_t>(probe.read(a)) !=
        std::bit_cast<std::uint64_t>(probe.read(b))) {
      return false;
    }
  }
  if (a.controller_runs() != b.controller_runs() || !(a.board() == b.board())) return false;
  if (a.plant().state().y != b.plant().state().y) return false;
  if (!(a.plant().faults() == b.plant().faults())) return false;
  if (!a.controller_runs()) return true;
  return a.controller().facts().bits() == b.controller().facts().bits() &&
         a.controller().logic().memory() == b.controller().logic().memory();
}

mock::VirtualMs random_time(const Rig& rig) {
  return rig.now_ms() + *rc::gen::inRange<std::uint64_t>(0, 1'500'000);
}

/// A fault somewhere in the wiring, in the oven or in the board, at some time.
void break_something(Rig& rig) {
  switch (*rc::gen::inRange(0, 3)) {
    case 0: {
      const std::array<mock::Effect, 6> effects{
          mock::Open{},     mock::ShortCircuit{},       mock::Frozen{},
          mock::Delay{200}, mock::Intermittent{70, 20}, mock::Bounce{6, 60}};
      const auto point = mock::Point::at(*rc::gen::inRange<std::size_t>(0, mock::Point::count));
      const auto effect = effects[*rc::gen::inRange<std::size_t>(0, effects.size())];
      const auto onset = random_time(rig);
      rig.board().inject({*point, effect, onset, onset + 30'000});  // may be refused: no matter
      break;
    }
    case 1: {
      const auto onset = random_time(rig);
      rig.inject({static_cast<plant::Fault>(*rc::gen::inRange<std::size_t>(0, plant::fault_count)),
                  *rc::gen::inRange(0, 101) / 100.0, onset, 20'000, onset + 90'000});
      break;
    }
    default:
      rig.board().inject(
          mock::ClockFault{mock::ClockDrift{*rc::gen::inRange(1, 100'000)}, random_time(rig)});
  }
}

struct Move {
  Hands hands;
  std::uint32_t stall_ms = 0;
  bool power = false;
  int scans = 1;
};

Move random_move() {
  Move move;
  const int what = *rc::gen::inRange(0, 12);
  move.hands.door_open = what == 0;
  move.hands.start = what == 1 || what == 2;
  move.hands.stop = what == 3;
  move.hands.reset = what == 4 || what == 5;
  move.hands.estop = what == 6;
  move.hands.limiter_reset = what == 7;
  move.stall_ms = what == 8 ? 300 : 0;
  move.power = what == 9;
  move.scans = *rc::gen::inRange(1, 400);
  return move;
}

void make(Rig& rig, const Move& move) {
  rig.hands = move.hands;
  if (move.stall_ms > 0) rig.stall(move.stall_ms);
  if (move.power && rig.controller_runs()) {
    rig.power_off();
  } else if (!rig.controller_runs()) {
    rig.power_on();
  }
}

}  // namespace

TEST_CASE("a copy of a rig goes on bit for bit, from any moment, with any faults and hands") {
  test::check_property(
      20'261'103,
      [] {
        OvenAtHand oven;
        Rig& original = oven.rig;
        const int faults = *rc::gen::inRange(0, 4);
        for (int i = 0; i < faults; ++i) break_something(original);
        oven.start();
        const int seconds = *rc::gen::inRange(0, 1'500);
        oven.run_s(seconds);
        Rig copy = original;
        RC_ASSERT(same(original, copy));
        for (int i = 0; i < 8; ++i) {
          const Move move = random_move();
          make(original, move);
          make(copy, move);
          for (int scan = 0; scan < move.scans; ++scan) {
            original.step();
            copy.step();
            RC_ASSERT(same(original, copy));
          }
        }
      },
      40);
}

TEST_CASE("what is done to a copy does not touch the original, in every phase") {
  for (const logic::Phase phase : {logic::Phase::standby, logic::Phase::purging, logic::Phase::ramp,
                                   logic::Phase::soak, logic::Phase::cooling}) {
    OvenAtHand oven;
    oven.reset();
    if (phase != logic::Phase::standby) REQUIRE(oven.start_and_reach(phase));
    const Rig reference = oven.rig;
    Rig copy = oven.rig;
    copy.hands.estop = true;
    copy.inject({plant::Fault::fan_stopped, 1.0, copy.now_ms()});
    copy.board().inject({hal::DigitalIn::door_closed_1, mock::Open{}});
    copy.board().store().flip(controller::settings_offset, std::byte{0xFF});
    for (int scan = 0; scan < 200; ++scan) copy.step();
    CHECK(same(oven.rig, reference));
    CHECK_FALSE(same(copy, reference));
  }
}

TEST_CASE("an assigned rig is a copy too: what it was before is gone") {
  OvenAtHand soaking;
  REQUIRE(soaking.start_and_reach(logic::Phase::soak));
  OvenAtHand other;
  other.break_component(plant::Fault::fan_stopped);
  other.rig.hands.estop = true;
  other.run_s(10.0);
  other.rig.power_off();
  other.rig = soaking.rig;
  for (int scan = 0; scan < 3'000; ++scan) {
    soaking.rig.step();
    other.rig.step();
    REQUIRE(same(soaking.rig, other.rig));
  }
}
