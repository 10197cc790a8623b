#include <algorithm>
#include <string>

#include <doctest/doctest.h>

#include "sim/prove/signals.hpp"
#include "sim/rig/probes.hpp"

using namespace ovenproof;

TEST_CASE("what an interlock speaks of is a signal of a run, but for what the prover alone sees") {
  std::size_t found = 0;
  for (const auto& signal : prove::signal_table().signals()) {
    const std::string name(signal.name);
    if (name.starts_with("option.") || name.starts_with("answer.")) continue;
    CAPTURE(name);
    CHECK(std::ranges::any_of(rig::probes(),
                              [&](const rig::Probe& probe) { return probe.name == name; }));
    ++found;
  }
  CHECK(found > 60);
}
