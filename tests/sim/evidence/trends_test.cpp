#include "sim/evidence/trends.hpp"

#include <algorithm>

#include <doctest/doctest.h>

namespace ovenproof::evidence {
namespace {

const Band& band(const Trends& trends, const char* probe) {
  return *std::find_if(trends.bands.begin(), trends.bands.end(),
                       [probe](const Band& each) { return each.probe == probe; });
}

Trends recorded(std::size_t most_rows, int scans, int press_at) {
  rig::Rig rig(rig::Oven{});
  TrendRecorder recorder(most_rows);
  for (int i = 0; i < scans; ++i) {
    rig.hands.start = i >= press_at;
    rig.step();
    recorder.observe(rig);
  }
  return std::move(recorder).finish();
}

TEST_CASE("numbers are taken every second, changes in the scan in which they come") {
  const Trends trends = recorded(4000, 501, 123);
  CHECK(trends.every_ms == 1000);
  REQUIRE(trends.ms.size() >= 5);
  CHECK(trends.ms[1] - trends.ms[0] == 1000);
  for (const Trend& trend : trends.trends) CHECK(trend.values.size() == trends.ms.size());
  const Band& start = band(trends, "hands.start");
  REQUIRE(start.changes.size() == 2);
  CHECK(start.changes[0].value == 0);
  CHECK(start.changes[1].value == 1);
  CHECK(start.changes[1].ms - start.changes[0].ms == 1230);
  CHECK(band(trends, "phase").labels.size() == logic::phase_count);
}

TEST_CASE("a long run is thinned to a round interval, from its beginning on") {
  const Trends all = recorded(4000, 3001, 5000);
  const Trends thin = recorded(8, 3001, 5000);
  CHECK(all.ms.size() > 29);
  CHECK(thin.every_ms == 5000);
  CHECK(thin.ms.size() <= 8);
  for (std::size_t i = 0; i < thin.ms.size(); ++i) {
    CHECK(thin.ms[i] == all.ms[5 * i]);
    CHECK(thin.trends[2].values[i] == all.trends[2].values[5 * i]);
  }
}

}  // namespace
}  // namespace ovenproof::evidence
