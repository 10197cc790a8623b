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
