#include <doctest/doctest.h>

#include "stages.hpp"

using namespace ovenproof::logic;
using namespace ovenproof::logic::test;

TEST_CASE("a copy of the logic, made or assigned in any phase, is where the original is") {
  for (const Options& options : every_option) {
    for (std::size_t i = 0; i < phase_count; ++i) {
      const auto phase = static_cast<Phase>(i);
      if (!reachable(phase, options)) continue;
      const Stage s = stage(phase, options);
      const Logic& original = s.bench.logic;
      const Logic made(original);
      Logic assigned{Options{}};
      assigned = original;
      for (const Logic* copy : {&made, const_cast<const Logic*>(&assigned)}) {
        CHECK(copy->sequence().phase() == phase);
        CHECK(copy->sequence().gas_path() == original.sequence().gas_path());
        CHECK(copy->sequence().fan_state() == original.sequence().fan_state());
        CHECK(copy->sequence().jacket_state() == original.sequence().jacket_state());
        CHECK(copy->memory() == original.memory());
        CHECK(copy->options() == original.options());
      }
    }
  }
}

TEST_CASE("a logic that resumes where another is goes on as that one, whatever it did before") {
  for (const Options& options : every_option) {
    Logic resumed(options);  // one for all phases: what an earlier one left behind must not matter
    for (std::size_t i = 0; i < 2 * phase_count; ++i) {
      const auto phase = static_cast<Phase>(i % phase_count);
      if (!reachable(phase, options)) continue;
      Stage s = stage(phase, options);
      Bench& b = s.bench;
      resumed.resume(b.logic.state());
      REQUIRE(resumed.state() == b.logic.state());
      b.release_all();
      for (unsigned n = 0; n < 120; ++n) {
        // Through the cycle, with a re-purge, a trip and a reset on the way.
        b.force(Fact::start_pressed, n % 3 == 0);
        b.force(Fact::reset_pressed, n % 5 == 0);
        b.force(Fact::gas_supply_ok, n != 17);
        b.force(Fact::limiter_healthy, n != 60);
        const Commands expected = b.scan();
        const Commands commands =
            resumed.scan({&b, [](const void* self, Fact fact) {
                            return static_cast<const Bench*>(self)->fact(fact);
                          }});
        REQUIRE(resumed.state() == b.logic.state());
        REQUIRE(commands.outputs == expected.outputs);
        REQUIRE(commands.timers == expected.timers);
      }
    }
  }
}

TEST_CASE("facts that are handed over at once read as those that are asked for one by one") {
  for (const Options& options : every_option) {
    for (std::size_t i = 0; i < phase_count; ++i) {
      const auto phase = static_cast<Phase>(i);
      if (!reachable(phase, options)) continue;
      Stage s = stage(phase, options);
      Bench& b = s.bench;
      b.release_all();
      for (std::size_t n = 0; n < 2 * plain_fact_count; ++n) {
        const auto turned = static_cast<Fact>(n / 2);
        b.force(turned, n % 2 == 0);
        const LogicState begun = b.logic.state();
        const Commands asked = b.scan();
        FactSet holding = 0;
        for (std::size_t f = 0; f < fact_count; ++f) {
          if (b.fact(static_cast<Fact>(f))) holding |= bit(static_cast<Fact>(f));
        }
        Logic logic(options);
        logic.resume(begun);
        const Commands known = logic.scan(Facts(holding));
        REQUIRE(logic.state() == b.logic.state());
        REQUIRE(known.outputs == asked.outputs);
        REQUIRE(known.phase == asked.phase);
        REQUIRE(known.timers == asked.timers);
        REQUIRE(known.first_out == asked.first_out);
        b.release(turned);
      }
    }
  }
}

TEST_CASE("a scan that is put down and taken up between any two of its steps is the same scan") {
  for (const Options& options : every_option) {
    Logic other(options);
    for (std::size_t i = 0; i < phase_count; ++i) {
      const auto phase = static_cast<Phase>(i);
      if (!reachable(phase, options)) continue;
      Stage s = stage(phase, options);
      Bench& b = s.bench;
      b.release_all();
      unsigned trips = 0;
      for (unsigned n = 0; n < 120; ++n) {
        b.force(Fact::start_pressed, n % 3 == 0);
        b.force(Fact::reset_pressed, n % 5 == 0);
        b.force(Fact::gas_supply_ok, n != 17);
        b.force(Fact::limiter_healthy, n != 60);
        b.force(Fact::over_temperature, n == 60 || n == 90);
        b.force(Fact::door_closed, n != 100);
        const LogicState begun = b.logic.state();
        const Commands expected = b.scan();
        const Facts facts(&b, [](const void* self, Fact fact) {
          return static_cast<const Bench*>(self)->fact(fact);
        });

        other.resume(begun);
        Progress progress = other.begin();
        unsigned steps = 0;
        while (progress.next != Step::done) {
          const LogicState between = other.state();
          Logic anew(options);
          anew.resume(between);
          anew.step(progress, facts);
          other.resume(anew.state());
          ++steps;
        }
        CHECK(steps > static_cast<unsigned>(Step::done));
        REQUIRE(other.state() == b.logic.state());
        const Commands& commands = progress.commands;
        REQUIRE(commands.outputs == expected.outputs);
        REQUIRE(commands.phase == expected.phase);
        REQUIRE(commands.timers == expected.timers);
        REQUIRE(commands.first_out == expected.first_out);
        REQUIRE(commands.count_purge == expected.count_purge);
        REQUIRE(commands.acknowledge == expected.acknowledge);
        REQUIRE(commands.programme_restart == expected.programme_restart);
        REQUIRE(commands.programme_advance == expected.programme_advance);
        trips += begun.memory.first_out == Cause::none && commands.first_out != Cause::none ? 1 : 0;
      }
      CHECK(trips > 0);
    }
  }
}
