#include "firmware/control/scan_supervision.hpp"

#include <doctest/doctest.h>

using namespace ovenproof;
using namespace ovenproof::control;

namespace {
const settings::Scan limits{.period = Milliseconds{10},
                            .overrun_limit = Milliseconds{50},
                            .clock_jump = Milliseconds{1'000},
                            .converter_stale = Milliseconds{500}};
}  // namespace

TEST_CASE("the first scan gives the period and no finding, wherever the clock stands") {
  for (const std::uint32_t start : {0U, 12'345U, 0xFFFF'FFFFU}) {
    ScanSupervision supervision;
    CHECK(supervision.update(Milliseconds{start}, limits) == ScanTiming{.dt = Milliseconds{10}});
  }
}

TEST_CASE("time runs by the clock, up to the overrun limit without a finding") {
  ScanSupervision supervision;
  supervision.update(Milliseconds{0}, limits);
  CHECK(supervision.update(Milliseconds{10}, limits) == ScanTiming{.dt = Milliseconds{10}});
  CHECK(supervision.update(Milliseconds{60}, limits) == ScanTiming{.dt = Milliseconds{50}});
  CHECK(supervision.update(Milliseconds{111}, limits) ==
        ScanTiming{.dt = Milliseconds{51}, .overrun = true});
  CHECK(supervision.update(Milliseconds{121}, limits) == ScanTiming{.dt = Milliseconds{10}});
}

TEST_CASE("a clock that leaps, goes back or stands still has jumped, and its step is not used") {
  const ScanTiming jumped{.dt = Milliseconds{10}, .clock_jump = true};
  ScanSupervision supervision;
  supervision.update(Milliseconds{5'000}, limits);
  CHECK(supervision.update(Milliseconds{6'000}, limits) ==
        ScanTiming{.dt = Milliseconds{1'000}, .overrun = true});
  CHECK(supervision.update(Milliseconds{7'001}, limits) == jumped);
  CHECK(supervision.update(Milliseconds{7'000}, limits) == jumped);  // back by 1 ms
  CHECK(supervision.update(Milliseconds{7'000}, limits) == jumped);  // stands
  CHECK(supervision.update(Milliseconds{0x8000'0000U}, limits) == jumped);
  CHECK(supervision.update(Milliseconds{0x8000'000AU}, limits) ==
        ScanTiming{.dt = Milliseconds{10}});
}

TEST_CASE("the wrap of the clock is no jump") {
  ScanSupervision supervision;
  supervision.update(Milliseconds{0xFFFF'FFFBU}, limits);
  CHECK(supervision.update(Milliseconds{5}, limits) == ScanTiming{.dt = Milliseconds{10}});
}
