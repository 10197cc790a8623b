#include "hal-mock/signal_fault.hpp"

#include <limits>
#include <set>

#include <doctest/doctest.h>

#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::mock;
using hal::AnalogIn;
using hal::DigitalIn;
using hal::DigitalOut;

static_assert(point_named("door_closed_1") == Point(DigitalIn::door_closed_1));
static_assert(point_named("blower_running") == Point(DigitalIn::blower_running));
static_assert(point_named("te_a") == Point(AnalogIn::te_a));
static_assert(point_named("oxygen_loop") == Point(AnalogIn::oxygen_loop));
static_assert(point_named("k1") == Point(DigitalOut::k1));
static_assert(point_named("horn") == Point(DigitalOut::horn));
static_assert(point_named("heater") == Point::heater());
static_assert(!point_named("") && !point_named("heate") && !point_named("heater "));
static_assert(fault_kind_named("stuck_at") == FaultKind::stuck_at);
static_assert(fault_kind_named("short") == FaultKind::short_circuit);
static_assert(fault_kind_named("open") == FaultKind::open);
static_assert(!fault_kind_named("") && !fault_kind_named("opened"));
static_assert(name(FaultKind::count).empty());
static_assert(!Point::at(Point::count));

TEST_CASE("every point has a name of its own that leads back to it") {
  std::set<std::string_view> seen;
  for (std::size_t i = 0; i < Point::count; ++i) {
    const Point point = *Point::at(i);
    CHECK(point.index() == i);
    CHECK_FALSE(name(point).empty());
    CHECK(point_named(name(point)) == point);
    seen.insert(name(point));
  }
  CHECK(seen.size() == 33);  // 16 contacts, 6 signals, 10 coils, the heater
}

TEST_CASE("the points of each class keep the numbers of their enumerators") {
  for (std::size_t i = 0; i < hal::digital_in_count; ++i) {
    const Point p(static_cast<DigitalIn>(i));
    CHECK(p.index_in_class() == i);
    CHECK(p.point_class() == PointClass::digital_in);
  }
  for (std::size_t i = 0; i < hal::analog_in_count; ++i) {
    const Point p(static_cast<AnalogIn>(i));
    CHECK(p.index_in_class() == i);
    CHECK(p.point_class() == PointClass::analog_in);
  }
  for (std::size_t i = 0; i < hal::digital_out_count; ++i) {
    const Point p(static_cast<DigitalOut>(i));
    CHECK(p.index_in_class() == i);
    CHECK(p.point_class() == PointClass::digital_out);
  }
  CHECK(Point::heater().point_class() == PointClass::heater);
  CHECK(Point::heater().index_in_class() == 0);
}

TEST_CASE("the unit of a point is the one named at the seam") {
  CHECK(unit(AnalogIn::te_a) == "mV");
  CHECK(unit(AnalogIn::oxygen_cell) == "mV");
  CHECK(unit(AnalogIn::cold_junction) == "ohm");
  CHECK(unit(AnalogIn::oxygen_loop) == "mA");
  CHECK(unit(Point::heater()) == "permille");
  CHECK(unit(DigitalIn::start_button) == "");
  CHECK(unit(DigitalOut::k1) == "");
}

TEST_CASE("every kind has a name of its own and is the kind of its effect") {
  std::set<std::string_view> seen;
  for (std::size_t i = 0; i < fault_kind_count; ++i) {
    const auto kind = static_cast<FaultKind>(i);
    CHECK(fault_kind_named(name(kind)) == kind);
    seen.insert(name(kind));
  }
  CHECK(seen.size() == 12);
  CHECK(kind(Delay{}) == FaultKind::delay);
  CHECK(kind(Bounce{}) == FaultKind::bounce);
  CHECK(kind(Gain{}) == FaultKind::gain);
  CHECK(kind(Offset{}) == FaultKind::offset);
  CHECK(kind(Drift{}) == FaultKind::drift);
  CHECK(kind(Noise{}) == FaultKind::noise);
  CHECK(kind(Frozen{}) == FaultKind::frozen);
  CHECK(kind(StuckAt{}) == FaultKind::stuck_at);
  CHECK(kind(CrossedWith{}) == FaultKind::crossed_with);
  CHECK(kind(ShortCircuit{}) == FaultKind::short_circuit);
  CHECK(kind(Intermittent{}) == FaultKind::intermittent);
  CHECK(kind(Open{}) == FaultKind::open);
}

TEST_CASE("a contact or coil takes no fault of a number, a number takes no bounce") {
  for (std::size_t i = 0; i < Point::count; ++i) {
    const Point point = *Point::at(i);
    CAPTURE(name(point));
    const bool binary = i < 16 || (i >= 22 && i < 32);
    for (const auto kind :
         {FaultKind::gain, FaultKind::offset, FaultKind::drift, FaultKind::noise}) {
      CHECK(refusal(point, kind) ==
            (binary ? "a contact or coil is only on or off: it can be stuck, frozen, open, short, "
                      "crossed, bouncing, late or intermittent"
                    : ""));
    }
    CHECK(refusal(point, FaultKind::bounce) ==
          (binary ? "" : "only contacts and coils bounce: use noise or intermittent"));
    CHECK(refusal(point, FaultKind::crossed_with) ==
          (i < 16 ? "" : "only contact inputs can be crossed"));
    for (const auto kind : {FaultKind::delay, FaultKind::frozen, FaultKind::stuck_at,
                            FaultKind::short_circuit, FaultKind::intermittent, FaultKind::open}) {
      CHECK(refusal(point, kind) == "");
    }
    CHECK(refusal(point, FaultKind::count) == "no such kind of fault");
  }
}

TEST_CASE("a fault is refused when its kind does not fit its point, with the same reason") {
  CHECK(refusal({.point = DigitalIn::door_closed_1, .effect = Drift{1.0}}) ==
        refusal(DigitalIn::door_closed_1, FaultKind::drift));
}

TEST_CASE("a fault that ends at or before its onset is refused") {
  const std::string_view reason = "the fault must end after its onset";
  const Point p = AnalogIn::te_a;
  CHECK(refusal({.point = p, .effect = Open{}, .onset_ms = 10, .end_ms = 10}) == reason);
  CHECK(refusal({.point = p, .effect = Open{}, .onset_ms = 11, .end_ms = 10}) == reason);
  CHECK(refusal({.point = p, .effect = Open{}, .onset_ms = 10, .end_ms = 11}) == "");
}

TEST_CASE(
    "each parameter is accepted at the ends of its range and refused beyond, with the range") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double inf = std::numeric_limits<double>::infinity();
  const double above = 1e6 + 1e-3;
  const auto signal = [](const Effect& e) {
    return refusal({.point = AnalogIn::te_a, .effect = e});
  };
  const auto contact = [](const Effect& e) {
    return refusal({.point = DigitalIn::start_button, .effect = e});
  };
  const auto heater = [](const Effect& e) {
    return refusal({.point = Point::heater(), .effect = e});
  };

  for (const double x : {-1e6, 0.0, 1e6}) {
    CHECK(signal(StuckAt{x}) == "");
    CHECK(signal(Drift{x}) == "");
    CHECK(signal(Offset{x}) == "");
  }
  for (const double x : {-above, above, nan, inf, -inf}) {
    CAPTURE(x);
    CHECK(signal(StuckAt{x}) == "the value must be a number from -1e6 to 1e6");
    CHECK(signal(Drift{x}) == "the drift per hour must be a number from -1e6 to 1e6");
    CHECK(signal(Offset{x}) == "the offset must be a number from -1e6 to 1e6");
    CHECK(signal(Gain{x}) == "the factor must be a number from -1e6 to 1e6, not 0");
    CHECK(signal(Noise{x}) == "the amplitude must be a number from 0 to 1e6");
  }
  CHECK(signal(Gain{0.0}) == "the factor must be a number from -1e6 to 1e6, not 0");
  CHECK(signal(Gain{1e-9}) == "");
  CHECK(signal(Gain{-1.0}) == "");
  CHECK(signal(Gain{1e6}) == "");
  CHECK(signal(Noise{0.0}) == "");
  CHECK(signal(Noise{-1e-9}) == "the amplitude must be a number from 0 to 1e6");

  CHECK(contact(CrossedWith{DigitalIn::stop_button}) == "");
  CHECK(contact(CrossedWith{DigitalIn::start_button}) == "a contact cannot be crossed with itself");

  CHECK(contact(StuckAt{0.0}) == "");
  CHECK(contact(StuckAt{1.0}) == "");
  for (const double x : {0.5, -1.0, 2.0, nan}) {
    CHECK(contact(StuckAt{x}) == "a contact or coil can be stuck at 0 or 1 only");
  }
  CHECK(heater(StuckAt{0.0}) == "");
  CHECK(heater(StuckAt{1000.0}) == "");
  for (const double x : {-0.1, 1000.1, nan}) {
    CHECK(heater(StuckAt{x}) == "a heater drive can be stuck at 0 to 1000 permille only");
  }

  CHECK(contact(Bounce{2, 1}) == "");
  CHECK(contact(Bounce{10'000, 60'000}) == "");
  for (const std::uint32_t period : {0U, 1U, 3U, 10'002U}) {
    CHECK(contact(Bounce{period, 1}) == "the bounce period must be even, 2 to 10000 ms");
  }
  for (const std::uint32_t duration : {0U, 60'001U}) {
    CHECK(contact(Bounce{2, duration}) == "the bounce duration must be 1 to 60000 ms");
  }
  CHECK(signal(Delay{1}) == "");
  CHECK(signal(Delay{60'000}) == "");
  for (const std::uint32_t by : {0U, 60'001U, 0xFFFF'FFFFU}) {
    CHECK(signal(Delay{by}) == "the delay must be 1 to 60000 ms");
  }
  CHECK(signal(Intermittent{2, 1}) == "");
  CHECK(signal(Intermittent{3'600'000, 3'599'999}) == "");
  for (const std::uint32_t period : {0U, 1U, 3'600'001U}) {
    CHECK(signal(Intermittent{period, 1}) == "the period must be 2 to 3600000 ms");
  }
  for (const std::uint32_t open : {0U, 10U, 11U}) {
    CHECK(signal(Intermittent{10, open}) ==
          "the open time must be at least 1 ms and below the period");
  }
}
