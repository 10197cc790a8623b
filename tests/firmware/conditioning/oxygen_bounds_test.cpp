#include <initializer_list>

#include <doctest/doctest.h>

#include "oxygen_bench.hpp"

/// What the gas that has flowed lets the oxygen reading be, no higher and no lower, and how a
/// reading that is lost for a moment starts each time again.
using namespace ovenproof;
using namespace ovenproof::conditioning;
using namespace ovenproof::conditioning::testing;

namespace {

/// From now on the sensor shows this, whatever the chamber holds; its counts stay alive.
void show(Bench& bench, double ppm) {
  bench.sensor_frozen = true;
  bench.sensed_ppm = ppm;
  bench.noise = 0.001;
}

constexpr double second = 1.0 / 60.0;  // min

void lose_reading_for_a_moment(Bench& bench) {
  bench.reason = Reason::open_circuit;
  bench.run(0.15 * second);  // one conversion
  bench.reason = Reason::none;
}

}  // namespace

TEST_CASE("while no gas flows the oxygen of a chamber that was open cannot fall, however long") {
  Bench bench = loaded();
  bench.run(60.0);
  REQUIRE_FALSE(bench.trust.faults().any());
  show(bench, 1'000.0);
  bench.run(6.0 * second);
  CHECK(bench.trust.faults() == OxygenFaults{.too_low_too_soon = true});
}

TEST_CASE("process gas alone lets the oxygen fall as far as process gas can bring it") {
  Bench bench = loaded();
  bench.process(true);
  bench.run(4.0);  // at most some 1.1 volumes: a third of air is left
  REQUIRE_FALSE(bench.trust.faults().any());
  show(bench, 20'000.0);
  bench.run(6.0 * second);
  CHECK(bench.trust.faults() == OxygenFaults{.too_low_too_soon = true});
}

TEST_CASE("process gas that flows unproven or uncommanded is allowed for when the reading falls") {
  for (const bool commanded : {true, false}) {
    CAPTURE(commanded);
    Bench bench = loaded();
    bench.now.process_commanded = commanded;
    bench.now.process_flow_proven = !commanded;
    bench.run(20.0);
    CHECK(bench.sensed_ppm < 0.1 * air);
    CHECK_FALSE(bench.trust.faults().any());
  }
}

TEST_CASE("the gas counts as thin as the chamber is hot, and as can be where that is not known") {
  const auto told_in = [](const Reading<Celsius>& chamber) {
    Bench bench = loaded();
    bench.now.chamber.reason = chamber.reason;
    bench.chamber_degC = chamber.value.value;
    bench.purge(true);
    bench.run(18.0 * second);
    show(bench, 40'000.0);
    bench.run(6.0 * second);
    return bench.trust.faults().too_low_too_soon;
  };
  CHECK(told_in({Celsius(20.0F), Reason::none}));
  CHECK_FALSE(told_in({Celsius(1'000.0F), Reason::none}));
  CHECK_FALSE(told_in({Celsius(20.0F), Reason::open_circuit}));
}

TEST_CASE("a reading above air demands nothing of a purge that does not flow") {
  Bench closed = loaded();
  show(closed, 240'000.0);
  closed.run(60.0);
  CHECK_FALSE(closed.trust.faults().any());
  Bench ajar = loaded();
  ajar.now.door_proven_closed = false;
  ajar.purge(true);
  show(ajar, 240'000.0);
  ajar.run(60.0);
  CHECK_FALSE(ajar.trust.faults().not_falling);
}

TEST_CASE("a reading lost for a moment starts the time to be too high again") {
  Bench bench = loaded();
  show(bench, air);
  bench.purge(true);
  bench.run(2.0);
  lose_reading_for_a_moment(bench);
  bench.run(1.9);
  CHECK_FALSE(bench.trust.faults().not_falling);
  bench.run(0.2);
  CHECK(bench.trust.faults().not_falling);
}

TEST_CASE("a reading lost for a moment starts the time to be too low again") {
  Bench bench = loaded();
  show(bench, 1'000.0);
  bench.run(4.5 * second);
  lose_reading_for_a_moment(bench);
  bench.run(4.5 * second);
  CHECK_FALSE(bench.trust.faults().any());
  bench.run(1.0 * second);
  CHECK(bench.trust.faults().too_low_too_soon);
}

TEST_CASE("a reading lost for a moment starts the time to be frozen again") {
  Bench bench = loaded();
  bench.purge(true);
  bench.run(1.5);
  bench.sensor_frozen = true;
  bench.run(2.9);
  lose_reading_for_a_moment(bench);
  bench.run(2.9);
  CHECK_FALSE(bench.trust.faults().frozen);
  bench.run(0.2);
  CHECK(bench.trust.faults().frozen);
}

TEST_CASE("what is acknowledged has its whole time again before it is told anew") {
  Bench bench;
  show(bench, 50.0);
  bench.door(true);
  bench.run(4.0);
  REQUIRE(bench.trust.faults().not_air);
  bench.trust.acknowledge();
  bench.run(2.9);
  CHECK_FALSE(bench.trust.faults().any());
  bench.run(0.3);
  CHECK(bench.trust.faults().not_air);
}
