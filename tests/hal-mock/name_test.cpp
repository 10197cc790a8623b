#include <array>
#include <cstddef>

#include <doctest/doctest.h>

#include "firmware/logic/enumerator_name.hpp"
#include "hal-mock/point.hpp"
#include "hal-mock/signal_fault.hpp"

namespace ovenproof::mock {
namespace {

/// Each enumerator and the name that scenario files have for it.
template <class Enum, std::size_t count, class NameOf>
void check_names(NameOf name_of) {
  for (std::size_t i = 0; i < count; ++i) {
    CHECK(name_of(static_cast<Enum>(i)) == logic::enumerator_names<Enum, count>[i]);
  }
}

TEST_CASE("each point of the board has the name of its enumerator, and is found by it") {
  const auto of_point = [](auto point) {
    const std::string_view text = name(Point(point));
    CHECK(point_named(text) == Point(point));
    return text;
  };
  check_names<hal::DigitalIn, hal::digital_in_count>(of_point);
  check_names<hal::AnalogIn, hal::analog_in_count>(of_point);
  check_names<hal::DigitalOut, hal::digital_out_count>(of_point);
  CHECK(of_point(Point::heater()) == "heater");
}

TEST_CASE("each kind of fault has the name of its enumerator, but short, a word of the language") {
  check_names<FaultKind, fault_kind_count>([](FaultKind kind) {
    CHECK(fault_kind_named(name(kind)) == kind);
    return kind == FaultKind::short_circuit ? "short_circuit" : name(kind);
  });
  CHECK(name(FaultKind::short_circuit) == "short");
}

}  // namespace
}  // namespace ovenproof::mock
