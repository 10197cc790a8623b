#include <array>
#include <cstdint>
#include <cstdlib>
#include <rapidcheck.h>
#include <string>
#include <tuple>
#include <vector>

#include <doctest/doctest.h>

#include "stages.hpp"
#include "watch.hpp"

using namespace ovenproof::logic;
using namespace ovenproof::logic::test;

namespace {

/// splitmix64 (constants
/// from memory: Steele et al., OOPSLA 2014: check against the source): the same numbers on any
/// machine.
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next() {
    std::uint64_t z = state_ += 0x9E3779B97F4A7C15ULL;
    z = (z ^ z >> 30) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ z >> 27) * 0x94D049BB133111EBULL;
    return z ^ z >> 31;
  }
  unsigned below(unsigned n) { return static_cast<unsigned>(next() % n); }
  bool one_in(unsigned n) { return below(n) == 0; }

 private:
  std::uint64_t state_;
};

bool same(const Commands& a, const Commands& b) {
  return a.outputs == b.outputs && a.phase == b.phase && a.gas == b.gas && a.fan == b.fan &&
         a.jacket == b.jacket && a.timers == b.timers &&
         a.programme_restart == b.programme_restart && a.programme_advance == b.programme_advance &&
         a.count_purge == b.count_purge && a.acknowledge == b.acknowledge &&
         a.first_out == b.first_out && a.armed == b.armed;
}

Facts facts_of(const Bench& b) {
  return {&b,
          [](const void* self, Fact fact) { return static_cast<const Bench*>(self)->fact(fact); }};
}

/// Counts what a walk has seen: a walk that never heats proves nothing about heat.
struct Seen {
  std::array<std::uint64_t, phase_count> phases{};
  std::uint64_t heated = 0;
  std::uint64_t door_starts = 0;
  void note(const Bench& b, Phase before) {
    ++phases[static_cast<std::size_t>(b.phase())];
    heated += b.outputs().covers(heat) ? 1U : 0U;
    door_starts +=
        before == Phase::standby && b.phase() == Phase::purging && !b.fact(Fact::start_pressed)
            ? 1U
            : 0U;
  }
};

/// The benign oven with an operator who presses at random and a fault now and then.
void disturb(Bench& b, Random& random) {
  const auto now_and_then = [&](Fact button, unsigned rarity) {
    b.force(button, random.one_in(rarity));
  };
  now_and_then(Fact::start_pressed, 8);
  now_and_then(Fact::reset_pressed, 4);
  now_and_then(Fact::stop_pressed, 400);
  if (b.phase() == Phase::unloading || b.phase() == Phase::standby) {
    if (random.one_in(6)) b.oven.door_closed = !b.oven.door_closed;
  } else if (!b.oven.door_closed || random.one_in(500)) {
    b.oven.door_closed = random.one_in(2);
  }
  if (random.one_in(80)) {
    const auto fact = static_cast<Fact>(3 + random.below(plain_fact_count - 3));
    // The counter of volumes is the controller's own and starts again without a purge.
    if (fact != Fact::purge_volumes_reached) b.force(fact, random.one_in(2));
  }
  // Dips of the supply and bursts of oxygen, mostly short: they purge again instead of tripping.
  if (random.one_in(20)) b.force(Fact::gas_supply_ok, false);
  if (random.one_in(20)) {
    b.force(Fact::oxygen_above_hold, true);
    b.force(Fact::oxygen_at_gate, false);
  }
  if (random.one_in(2)) {
    b.release(Fact::gas_supply_ok);
    b.release(Fact::oxygen_above_hold);
    b.release(Fact::oxygen_at_gate);
  }
  if (random.one_in(5)) b.release_all();
}

/// Facts drawn one by one, mostly the ones that let the cycle go on, bound only by what
/// conditioning, counter and timers guarantee. Timers elapse when they like.
void draw_all(Bench& b, Random& random) {
  using enum Fact;
  const auto rarely_not = [&](Fact fact, bool usual, unsigned rarity) {
    b.force(fact, usual != random.one_in(rarity));
  };
  const OutputSet on = b.outputs();
  for (Fact f : {estop_healthy, limiter_healthy, gas_supply_ok, temperature_valid, oxygen_valid,
                 oxygen_has_read_air, settings_valid}) {
    rarely_not(f, true, 400);
  }
  for (Fact f : {door_contacts_disagree, thermocouples_disagree, temperature_rate_implausible,
                 over_temperature, no_temperature_rise, rise_without_demand, oxygen_failed,
                 oxygen_air_check_failed, oxygen_not_falling, oxygen_falls_too_soon, oxygen_frozen,
                 scan_overrun, clock_jump}) {
    rarely_not(f, false, 800);
  }
  rarely_not(purge_flow, on.has(Output::purge_valve), 150);
  rarely_not(process_flow, on.has(Output::process_valve), 150);
  rarely_not(fan_running, on.has(Output::fan), 150);
  rarely_not(k1_open, !on.has(Output::k1), 150);
  rarely_not(k2_open, !on.has(Output::k2), 150);
  rarely_not(blower_running, on.has(Output::blower), 150);
  rarely_not(damper_open, on.has(Output::damper), 30);
  b.force(damper_closed, !b.fact(damper_open) && !random.one_in(10));
  b.force(start_pressed, random.one_in(4));
  b.force(reset_pressed, random.one_in(3));
  b.force(stop_pressed, random.one_in(60));
  const bool may_open = b.phase() == Phase::unloading || b.phase() == Phase::standby;
  const bool closed = may_open ? !random.one_in(3) : !random.one_in(500);
  b.force(door_closed, closed);
  b.force(door_open, !closed && random.one_in(2));
  const bool at_gate = !random.one_in(6);
  b.force(oxygen_at_gate, at_gate);
  b.force(oxygen_above_hold, !at_gate && random.one_in(2));
  b.force(purge_volumes_reached, b.commands.count_purge && random.one_in(3));
  for (Fact f :
       {ramp_complete, soak_complete, last_segment, cool_to_unload, gas_settled, elements_cool}) {
    b.force(f, random.one_in(3));
  }
  for (std::size_t i = 0; i < timer_count; ++i) {
    const bool runs = (b.commands.timers >> i & 1U) != 0;
    const auto timer = static_cast<Timer>(i);
    const bool usual = timer == Timer::gate_hold || timer == Timer::changeover;
    b.force(fact_of(timer), runs && random.one_in(usual ? 2 : 12));
  }
}

template <class Choose>
Seen walk(Options options, std::uint64_t seed, unsigned scans, Choose choose) {
  Random random(seed);
  Bench b(options);
  Watch watch;
  Seen seen;
  Logic shadow(b.logic);
  for (unsigned n = 0; n < scans; ++n) {
    if (random.one_in(40)) shadow = Logic(b.logic);
    const Phase before = b.phase();
    choose(b, random);
    b.scan();
    const std::string wrong = watch.look(b);
    if (!wrong.empty()) {
      FAIL("seed " << seed << " scan " << n << " in " << text(b.phase()) << ": " << wrong);
    }
    const Commands shadowed = shadow.scan(facts_of(b));
    if (!same(shadowed, b.commands) || !(shadow.memory() == b.logic.memory())) {
      FAIL("seed " << seed << " scan " << n << ": a copy goes another way");
    }
    seen.note(b, before);
  }
  return seen;
}

void check_deep_enough(const Seen& seen, const Options& options) {
  for (std::size_t i = 0; i < phase_count; ++i) {
    CAPTURE(text(static_cast<Phase>(i)));
    if (reachable(static_cast<Phase>(i), options)) CHECK(seen.phases[i] > 30);
  }
  CHECK(seen.heated > 500);
  if (options.start_by_door) CHECK(seen.door_starts > 5);
}

}  // namespace

TEST_CASE("whatever the operator and the faults do to a benign oven, what must hold holds") {
  std::uint64_t seed = 1;
  for (const Options& options : every_option) {
    const Seen seen = walk(options, seed++, 20'000, disturb);
    check_deep_enough(seen, options);
  }
}

TEST_CASE("whatever the facts say, each on its own, what must hold holds") {
  std::uint64_t seed = 101;
  for (const Options& options : every_option) {
    const Seen seen = walk(options, seed++, 40'000, draw_all);
    check_deep_enough(seen, options);
  }
}

TEST_CASE("short scripts of forced facts, that shrink to the shortest that defeats an interlock") {
  // The seed is fixed: the same scripts each time, on any machine.
  setenv("RC_PARAMS", "seed=20240607 max_success=400 max_size=60", 0);
  const bool holds =
      rc::check([](const std::vector<std::tuple<std::uint8_t, bool, std::uint8_t>>& script) {
        Bench b(full_options);
        Watch watch;
        const auto scan = [&](unsigned times) {
          for (unsigned n = 0; n < times; ++n) {
            b.scan();
            const std::string wrong = watch.look(b);
            if (!wrong.empty()) RC_FAIL(wrong);
          }
        };
        scan(2);
        b.force(Fact::reset_pressed, true);
        scan(2);
        b.release(Fact::reset_pressed);
        b.force(Fact::start_pressed, true);
        scan(2);
        b.release(Fact::start_pressed);
        for (const auto& [which, value, wait] : script) {
          const auto fact = static_cast<Fact>(which % plain_fact_count);
          if (fact == Fact::purge_volumes_reached) continue;
          b.force(fact, value);
          scan(wait % 16U);
          if (wait % 3 == 0) b.release(fact);
          // Door and oxygen are consistent by construction of the conditioning.
          if (b.fact(Fact::door_closed)) b.force(Fact::door_open, false);
          if (b.fact(Fact::oxygen_at_gate)) b.force(Fact::oxygen_above_hold, false);
        }
        scan(40);
      });
  CHECK(holds);
}
