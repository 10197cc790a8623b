#include <doctest/doctest.h>

#include "stages.hpp"

using namespace ovenproof::logic;
using namespace ovenproof::logic::test;

TEST_CASE("every phase is reached on every machine and energises its own outputs and no other") {
  for (const Options& options : every_option) {
    for (std::size_t i = 0; i < phase_count; ++i) {
      const auto phase = static_cast<Phase>(i);
      if (!reachable(phase, options)) continue;
      CAPTURE(text(phase));
      CAPTURE(options.oxygen_monitor);
      CAPTURE(options.jacket_cooling);
      Stage s = stage(phase, options);
      REQUIRE(s.reached);
      REQUIRE(s.bench.phase() == phase);
      for (int n = 0; n < 20; ++n) {
        s.bench.scan();
        REQUIRE(s.bench.phase() == phase);
        REQUIRE(s.bench.outputs() == settled_outputs(phase, options));
      }
    }
  }
}
