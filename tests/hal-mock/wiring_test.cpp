#include "hal-mock/wiring.hpp"

#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include "hal-mock/terminals.hpp"

using namespace ovenproof;
using namespace ovenproof::mock;
using hal::AnalogIn;
using hal::DigitalIn;
using hal::DigitalOut;

namespace {

/// What comes out at instants first, first + 1, ... when `signals` go in.
std::vector<double> carried(Wiring wiring, Point point, const std::vector<double>& signals,
                            VirtualMs first = 0) {
  std::vector<double> out;
  for (const double signal : signals) out.push_back(wiring.carry(point, signal, first++));
  return out;
}
std::vector<double> carried(const SignalFault& fault, const std::vector<double>& signals,
                            VirtualMs first = 0) {
  REQUIRE(refusal(fault) == "");
  Wiring wiring;
  wiring.inject(fault);
  return carried(wiring, fault.point, signals, first);
}
using Signals = std::vector<double>;

constexpr Point contact = DigitalIn::door_closed_1;
constexpr Point tc = AnalogIn::te_a;

}  // namespace

TEST_CASE("sound wires carry every signal as it is") {
  Wiring wiring;
  for (std::size_t i = 0; i < Point::count; ++i) CHECK(wiring.carry(*Point::at(i), 1.0, i) == 1.0);
}

TEST_CASE("a stuck signal has its value from onset to before the end") {
  CHECK(carried({.point = tc, .effect = StuckAt{5.0}, .onset_ms = 1, .end_ms = 3}, {1, 2, 3, 4}) ==
        Signals{1, 5, 5, 4});
}

TEST_CASE("a frozen signal keeps the value it had at onset and is free after the end") {
  CHECK(carried({.point = tc, .effect = Frozen{}, .onset_ms = 1, .end_ms = 3}, {1, 2, 3, 4}) ==
        Signals{1, 2, 2, 4});
}

TEST_CASE("a broken wire reads as each input's circuit makes it") {
  const auto open = [](Point p, double signal) {
    return carried({.point = p, .effect = Open{}}, {signal}).front();
  };
  CHECK(open(DigitalIn::estop_healthy, 1) == 0);
  CHECK(open(DigitalOut::k1, 1) == 0);
  CHECK(open(Point::heater(), 700) == 0);
  CHECK(open(AnalogIn::oxygen_loop, 12) == 0);
  for (const AnalogIn p : {AnalogIn::te_a, AnalogIn::te_b, AnalogIn::cold_junction,
                           AnalogIn::oxygen_cell, AnalogIn::oxygen_cell_tc}) {
    CHECK(open(p, 12) == open_circuit);
  }
}

TEST_CASE("a short circuit reads as each point's circuit makes it") {
  const auto shorted = [](Point p, double signal) {
    return carried({.point = p, .effect = ShortCircuit{}}, {signal}).front();
  };
  CHECK(shorted(DigitalIn::estop_healthy, 0) == 1);
  CHECK(shorted(DigitalOut::k1, 0) == 1);
  CHECK(shorted(Point::heater(), 0) == 1000);
  CHECK(shorted(AnalogIn::oxygen_loop, 12) == 24);
  for (const AnalogIn p : {AnalogIn::te_a, AnalogIn::te_b, AnalogIn::cold_junction,
                           AnalogIn::oxygen_cell, AnalogIn::oxygen_cell_tc}) {
    CHECK(shorted(p, 12) == 0);
  }
}

TEST_CASE("offset adds, gain multiplies") {
  CHECK(carried({.point = tc, .effect = Offset{-0.5}}, {1, 2}) == Signals{0.5, 1.5});
  CHECK(carried({.point = tc, .effect = Gain{0.5}}, {1, 2}) == Signals{0.5, 1});
}

TEST_CASE("drift is nothing at onset and its rate an hour later, and ends with the fault") {
  const VirtualMs onset = 1000;
  const VirtualMs hour = 3'600'000;
  Wiring wiring;
  wiring.inject(
      {.point = tc, .effect = Drift{-2.0}, .onset_ms = onset, .end_ms = onset + hour + 1});
  CHECK(wiring.carry(tc, 10, onset) == 10);
  CHECK(wiring.carry(tc, 10, onset + hour / 2) == 9);
  CHECK(wiring.carry(tc, 10, onset + hour) == 8);
  CHECK(wiring.carry(tc, 10, onset + hour + 1) == 10);
}

TEST_CASE("noise stays within its amplitude, fills it evenly and has no mean") {
  const int n = 100'000;
  const auto out = carried({.point = tc, .effect = Noise{2.0, 42}}, Signals(n, 10.0));
  double sum = 0;
  double squares = 0;
  double previous_product = 0;
  for (int i = 0; i < n; ++i) {
    const double e = out[static_cast<std::size_t>(i)] - 10.0;
    REQUIRE(e >= -2.0);
    REQUIRE(e < 2.0);
    sum += e;
    squares += e * e;
    if (i > 0) previous_product += e * (out[static_cast<std::size_t>(i) - 1] - 10.0);
  }
  // Uniform in [-a, a): mean 0, variance a^2/3. Limits are four standard errors.
  const double variance = 4.0 / 3.0;
  CHECK(std::abs(sum / n) < 4 * std::sqrt(variance / n));
  CHECK(std::abs(squares / n - variance) < 4 * std::sqrt((16.0 / 5 - variance * variance) / n));
  CHECK(std::abs(previous_product / n) < 4 * variance / std::sqrt(n));
}

TEST_CASE("noise repeats for one seed and differs by seed and by point") {
  const Signals in(100, 10.0);
  const auto a = carried({.point = tc, .effect = Noise{2.0, 1}}, in);
  CHECK(a == carried({.point = tc, .effect = Noise{2.0, 1}}, in));
  CHECK(a != carried({.point = tc, .effect = Noise{2.0, 2}}, in));
  CHECK(a != carried({.point = AnalogIn::te_b, .effect = Noise{2.0, 1}}, in));
}

TEST_CASE("noise at an instant does not depend on what was looked at before") {
  const SignalFault fault{.point = tc, .effect = Noise{2.0, 7}};
  CHECK(carried(fault, Signals(50, 0.0)).back() == carried(fault, {0.0}, 49).front());
}

TEST_CASE("a bouncing contact alternates after each change until its duration has passed") {
  CHECK(carried({.point = contact, .effect = Bounce{4, 7}},
                {0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0, 0, 0}) ==
        Signals{0, 0, 1, 1, 0, 0, 1, 1, 0, 1, 1, 0, 0, 1, 1, 0, 0, 1, 0});
}

TEST_CASE("a change before onset does not bounce, and after the end nothing does") {
  CHECK(carried({.point = contact, .effect = Bounce{2, 10}, .onset_ms = 2, .end_ms = 5},
                {0, 1, 1, 1, 0, 0, 1, 1}) == Signals{0, 1, 1, 1, 0, 0, 1, 1});
  CHECK(carried({.point = contact, .effect = Bounce{2, 10}, .onset_ms = 0, .end_ms = 5},
                {0, 1, 1, 1, 1, 1, 1, 1}) == Signals{0, 1, 0, 1, 0, 1, 1, 1});
}

TEST_CASE(
    "a delayed signal holds its value at onset, then follows late, then jumps to the present") {
  CHECK(carried({.point = tc, .effect = Delay{3}, .onset_ms = 2, .end_ms = 8},
                {0, 1, 2, 3, 4, 5, 6, 7, 8, 9}) == Signals{0, 1, 2, 2, 2, 2, 3, 4, 8, 9});
}

TEST_CASE("two delays on one point add up") {
  Wiring wiring;
  wiring.inject({.point = tc, .effect = Delay{2}});
  wiring.inject({.point = tc, .effect = Delay{1}});
  CHECK(carried(wiring, tc, {0, 1, 2, 3, 4, 5, 6}) == Signals{0, 0, 0, 0, 1, 2, 3});
}

TEST_CASE("an intermittent wire is open at the start of every period, counted from onset") {
  CHECK(carried({.point = contact, .effect = Intermittent{4, 1}, .onset_ms = 1, .end_ms = 8},
                Signals(10, 1)) == Signals{1, 0, 1, 1, 1, 0, 1, 1, 1, 1});
}

TEST_CASE("faults compose in their documented order however they were injected") {
  const auto both = [](const Effect& first, const Effect& second, const Signals& in) {
    Wiring wiring;
    wiring.inject({.point = tc, .effect = first});
    wiring.inject({.point = tc, .effect = second});
    Wiring other;
    other.inject({.point = tc, .effect = second});
    other.inject({.point = tc, .effect = first});
    const auto out = carried(wiring, tc, in);
    CHECK(out == carried(other, tc, in));
    return out;
  };
  CHECK(both(Offset{1}, Gain{2}, {10}) == Signals{21});           // gain, then offset
  CHECK(both(StuckAt{3}, Offset{1}, {10}) == Signals{3});         // stuck hides the offset
  CHECK(both(Frozen{}, Offset{1}, {10, 20}) == Signals{11, 11});  // frozen with its offset
  CHECK(both(StuckAt{3}, Frozen{}, {10, 20}) == Signals{3, 3});   // stuck hides frozen
  CHECK(both(ShortCircuit{}, StuckAt{3}, {10}) == Signals{0});    // short hides stuck
  CHECK(both(Open{}, ShortCircuit{}, {10}) == Signals{open_circuit});
  CHECK(both(Intermittent{2, 1}, StuckAt{3}, {10, 10}) == Signals{open_circuit, 3});
  CHECK(both(Delay{1}, Gain{2}, {1, 2, 3}) == Signals{2, 2, 4});
}

TEST_CASE("of two stuck values the one injected last shows") {
  Wiring wiring;
  wiring.inject({.point = tc, .effect = StuckAt{1}});
  wiring.inject({.point = tc, .effect = StuckAt{2}});
  CHECK(wiring.carry(tc, 0, 0) == 2);
}

TEST_CASE("the active set names the points, those that must see every ms, and when it changes") {
  Wiring wiring;
  CHECK(wiring.active_at(5) == Wiring::Active{});
  wiring.inject({.point = tc, .effect = Open{}, .onset_ms = 10, .end_ms = 20});
  wiring.inject({.point = contact, .effect = Bounce{}, .onset_ms = 15, .end_ms = 30});
  const auto tc_bit = Wiring::bit(tc);
  const auto contact_bit = Wiring::bit(contact);
  CHECK(wiring.active_at(9) == Wiring::Active{0, 0, 10});
  CHECK(wiring.active_at(10) == Wiring::Active{tc_bit, 0, 15});
  CHECK(wiring.active_at(15) == Wiring::Active{tc_bit | contact_bit, contact_bit, 20});
  CHECK(wiring.active_at(20) == Wiring::Active{contact_bit, contact_bit, 30});
  CHECK(wiring.active_at(30) == Wiring::Active{});
}

TEST_CASE("a cleared fault is gone, the others stay, and an unknown id is told") {
  Wiring wiring;
  const FaultId a = wiring.inject({.point = tc, .effect = Offset{1}});
  const FaultId b = wiring.inject({.point = tc, .effect = Offset{10}});
  CHECK(a != b);
  CHECK(wiring.carry(tc, 0, 0) == 11);
  CHECK(wiring.clear(a));
  CHECK(wiring.carry(tc, 0, 1) == 10);
  CHECK_FALSE(wiring.clear(a));
  wiring.forget_ended(1'000'000);
  CHECK(wiring.size() == 1);
  wiring.clear_all();
  CHECK(wiring.carry(tc, 0, 2) == 0);
}
