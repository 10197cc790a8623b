// Times of a temperature programme against times reckoned by hand from its segments.

#include <array>
#include <vector>

#include <doctest/doctest.h>

#include "firmware/control/programme.hpp"

using namespace ovenproof;
using namespace ovenproof::control;

namespace {

constexpr Milliseconds scan{10};
constexpr double scan_s = 0.01;

/// 20 -> 500 degC at 8 K/min, 30 min; -> 650 at 5 K/min, 10 min; -> 350 at 10 K/min, 15 min.
settings::Programme three_segments() {
  settings::Programme p;
  p.segment_count = 3;
  p.soak_band = Kelvins{5.0F};
  p.ramp_lag_limit = Kelvins{10.0F};
  p.segments[0] = {Celsius{500.0F}, 8.0F, Milliseconds{30 * 60'000}};
  p.segments[1] = {Celsius{650.0F}, 5.0F, Milliseconds{10 * 60'000}};
  p.segments[2] = {Celsius{350.0F}, 10.0F, Milliseconds{15 * 60'000}};
  return p;
}

/// Runs the programme as the sequence would; gives the times at which a ramp or soak ended, s.
/// `oven` gives the measured temperature from the setpoint and the time.
template <class Oven>
std::vector<double> ends(Oven oven) {
  const settings::Programme settings = three_segments();
  Programme programme;
  std::vector<double> times;
  bool soaking = false;
  double now = 0.0;
  float measured = 20.0F;
  programme.update({.ramp = true}, Celsius{measured}, true, settings, scan);
  while (now < 40'000.0) {
    now += scan_s;
    measured = oven(programme.setpoint().value, now);
    programme.update({.ramp = !soaking, .soak = soaking}, Celsius{measured}, true, settings, scan);
    const ProgrammeFacts facts = programme.facts(settings);
    if (!soaking && facts.ramp_complete) {
      times.push_back(now);
      soaking = true;
    } else if (soaking && facts.soak_complete) {
      times.push_back(now);
      if (facts.last_segment) return times;
      soaking = false;
      now += scan_s;
      programme.update({.ramp = true, .advance = true}, Celsius{measured}, true, settings, scan);
    }
  }
  return times;
}

void check_minutes(const std::vector<double>& times, const std::array<double, 6>& minutes) {
  REQUIRE(times.size() == minutes.size());
  // A scan for each change of ramp to soak and segment to segment.
  for (std::size_t i = 0; i < minutes.size(); ++i) {
    CAPTURE(i);
    CHECK(times[i] == doctest::Approx(60.0 * minutes[i]).epsilon(1e-5));
  }
}

}  // namespace

TEST_CASE("an oven that follows: 60 + 30 + 30 + 10 + 30 + 15 minutes") {
  check_minutes(ends([](float setpoint, double) { return setpoint; }),
                {60.0, 90.0, 120.0, 130.0, 160.0, 175.0});
}

TEST_CASE(
    "an oven that leaves the band for 7 minutes of the first soak makes it 7 minutes longer") {
  const auto oven = [](float setpoint, double now) {
    const bool disturbed = now > 65.0 * 60.0 && now < 72.0 * 60.0;
    return disturbed ? setpoint - 6.0F : setpoint;
  };
  check_minutes(ends(oven), {60.0, 97.0, 127.0, 137.0, 167.0, 182.0});
}

TEST_CASE("an oven slower than the ramp holds the ramp back to its own rate") {
  // It can do 4 K/min: the setpoint runs 10 K ahead of it and is then held there. Reaching 490 degC
  // takes 470/4 = 117.5 min; the setpoint then goes on from 500. The soak counts from 495 degC,
  // 1.25 min later. From there on the oven keeps up.
  const auto oven = [](float setpoint, double now) {
    const float reachable = 20.0F + static_cast<float>(now / 60.0 * 4.0);
    return now < 120.0 * 60.0 && reachable < setpoint ? reachable : setpoint;
  };
  const std::vector<double> times = ends(oven);
  REQUIRE(times.size() == 6);
  CHECK(times[0] / 60.0 == doctest::Approx(117.5).epsilon(1e-4));
  CHECK(times[1] / 60.0 == doctest::Approx(118.75 + 30.0).epsilon(1e-4));
}
