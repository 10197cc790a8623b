#include <cstdlib>
#include <new>

#include <doctest/doctest.h>

#include "boards.hpp"

using namespace ovenproof;
using namespace ovenproof::mock;
using namespace ovenproof::mock::test;

namespace {
std::size_t allocations = 0;
}

// Counts what the whole test program takes from the heap.
void* operator new(std::size_t size) {
  ++allocations;
  if (void* p = std::malloc(size == 0 ? 1 : size)) return p;
  throw std::bad_alloc();
}
void operator delete(void* p) noexcept { std::free(p); }
void operator delete(void* p, std::size_t) noexcept { std::free(p); }

TEST_CASE("scans take nothing from the heap, whatever faults are present") {
  Board board = powered();
  const auto scans = [&] {
    const std::size_t before = allocations;
    for (int i = 0; i < 1000; ++i) {
      board.present(i % 3 == 0 ? plain_field() : plain_field({DigitalIn::start_button}));
      board.advance(10);
      static_cast<void>(board.read_inputs());
      board.write_outputs(energise({DigitalOut::k1}, 500));
      board.kick_watchdog();
    }
    return allocations - before;
  };
  CHECK(scans() == 0);

  const std::size_t before = allocations;
  for (const Point p : {Point(DigitalIn::start_button), Point(AnalogIn::te_a),
                        Point(DigitalOut::k1), Point::heater()}) {
    for (const Effect& e :
         {Effect(Delay{50}), Effect(Bounce{4, 9}), Effect(Gain{2}), Effect(Drift{1}),
          Effect(Noise{1, 1}), Effect(Frozen{}), Effect(Intermittent{50, 10})}) {
      board.inject({.point = p, .effect = e});
    }
  }
  REQUIRE(board.inject(ClockFault{.effect = ClockDrift{100}}) == "");
  CHECK(allocations > before);  // the counter counts
  CHECK(scans() == 0);
}
