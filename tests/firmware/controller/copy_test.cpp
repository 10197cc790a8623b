#include "bench.hpp"
#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::controller::testing;

namespace {

void move_something(Bench& bench) {
  const auto point = *rc::gen::inRange<std::size_t>(0, hal::digital_in_count + 2);
  if (point < hal::digital_in_count) {
    const auto contact = static_cast<DigitalIn>(point);
    bench.field.set(contact, !bench.field.closed(contact));
  } else if (point == hal::digital_in_count) {
    const double mV = *rc::gen::inRange(0, 250) / 10.0;
    bench.field.set(AnalogIn::te_a, mV);
    bench.field.set(AnalogIn::te_b, mV);
  } else {
    bench.field.set(AnalogIn::oxygen_cell, *rc::gen::inRange(0, 300));
  }
}

}  // namespace

TEST_CASE("a copy of the controller goes on bit for bit, whatever its inputs have been") {
  test::check_property(
      20'261'102,
      [] {
        Bench bench;
        bench.run(2'000);
        bench.reset();
        if (*rc::gen::inRange(0, 2) == 1) bench.press(DigitalIn::start_button);
        for (int i = 0; i < 10; ++i) {
          move_something(bench);
          bench.run(static_cast<std::uint32_t>(*rc::gen::inRange(1, 100)) * 10);
        }
        Bench copy = bench;
        for (int i = 0; i < 10; ++i) {
          move_something(bench);
          copy.field = bench.field;
          const int scans = *rc::gen::inRange(1, 100);
          for (int scan = 0; scan < scans; ++scan) {
            bench.scan();
            copy.scan();
            RC_ASSERT(bench.board == copy.board);
            RC_ASSERT(bench.controller->facts().bits() == copy.controller->facts().bits());
            RC_ASSERT(bench.controller->logic().memory() == copy.controller->logic().memory());
          }
        }
      },
      60);
}
