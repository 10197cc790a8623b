/// The parts that sizing is made of, each by itself.
#include <cmath>

#include "demo.hpp"
#include "sim/formulas/heat.hpp"
#include "sim/machine/estimate.hpp"
#include "sim/sizing/curve.hpp"
#include "sim/sizing/figures.hpp"
#include "sim/sizing/heat_model.hpp"

using namespace ovenproof;
using namespace ovenproof::sizing;
using namespace ovenproof::sizing::testing;
using doctest::Approx;

namespace {

/// All of it hangs together, nothing is driven by a fan, nothing flows: one lump.
plant::Parameters one_lump() {
  plant::Parameters p;
  p.fan.shaft_power_W = 0.0;
  p.wall.convection_fan_W_per_K = p.load.convection_fan_W_per_K = 1e5;
  p.load.inside_conductance_W_per_K = 1e5;
  p.supply.process_L_per_min = 1e-9;
  return p;
}

Figure bounded(double predicted, double simulated, Bound bound) {
  Figure f;
  f.predicted = predicted;
  f.simulated = simulated;
  f.bound = bound;
  return f;
}

}  // namespace

TEST_CASE("two lumps that hang together cool as the closed form of one lump") {
  plant::Parameters p = one_lump();
  for (const bool jacket : {true, false}) {
    CAPTURE(jacket);
    const double conductance =
        machine::loss_W_per_K(p) + (jacket ? jacket_of(p.cooling).W_per_K() : 0.0);
    const auto closed =
        formulas::cooling_s(machine::heated_capacity_J_per_K(p), conductance, 480.0, 80.0);
    const auto course = cool(p, 500.0, 100.0, jacket);
    REQUIRE(course);
    CHECK(course->seconds == Approx(*closed).epsilon(2e-3));
    CHECK(course->gave_off_J == Approx(machine::heated_capacity_J_per_K(p) * 400.0).epsilon(2e-3));
    if (!jacket) CHECK(course->jacket_J == 0.0);
  }
}

TEST_CASE("cooling never gets below where the fan's work balances the losses") {
  plant::Parameters p;
  const double end = cooling_end_degC(p, false);
  CHECK(end > 60.0);
  CHECK_FALSE(cool(p, 500.0, end - 1.0, false));
  CHECK(cool(p, 500.0, end + 5.0, false));
  CHECK(cooling_end_degC(p, true) < end);
  const double losses = machine::loss_W_per_K(p) + machine::process_gas_W_per_K(p);
  CHECK(losses * (end - 20.0) == Approx(machine::fan_W(p, end)));
}

/// One ramp from 20 degC, and a soak.
machine::Machine one_segment(machine::Machine m, double to_degC, double K_per_min,
                             double soak_min) {
  m.settings.programme.segment_count = 1;
  settings::Segment& segment = m.settings.programme.segments[0];
  segment.target = Celsius(static_cast<float>(to_degC));
  segment.ramp_K_per_min = static_cast<float>(K_per_min);
  segment.soak = Milliseconds(static_cast<std::uint32_t>(soak_min * 60'000.0));
  return m;
}

TEST_CASE("a ramp takes the programme's time while the heater can, and longer when it cannot") {
  machine::Machine m = one_segment(demo("bronze_strip_160"), 550.0, 8.0, 30.0);
  const std::vector<Course> asked = heating(m);
  REQUIRE(asked.size() == 2);
  CHECK(asked[0].as_asked);
  CHECK(asked[0].seconds == Approx(530.0 / 8.0 * 60.0));
  CHECK(asked[0].points.back().value == 550.0);
  CHECK(asked[1].seconds == Approx(30.0 * 60.0));
  m.plant.heater.power_W = 4000.0;
  const std::vector<Course> weak = heating(m);
  REQUIRE(weak.size() == 2);
  CHECK_FALSE(weak[0].as_asked);
  CHECK(weak[0].seconds > 1.2 * asked[0].seconds);
  // What did not go into the oven on the way goes in during the soak: as much in the end.
  CHECK(weak[0].gave_off_J + weak[1].gave_off_J ==
        Approx(asked[0].gave_off_J + asked[1].gave_off_J).epsilon(0.02));
  m.plant.heater.power_W = 1000.0;  // less than 550 degC loses
  CHECK(heating(m).empty());
}

TEST_CASE("heat of a ramp is that of a lump that lags behind it, by its closed form") {
  // Response of a first-order lag to a ramp r t, by derivation: r (t - tau (1 - exp(-t / tau))).
  machine::Machine m = one_segment(demo("bronze_strip_160"), 320.0, 10.0, 60.0);
  plant::Parameters& p = m.plant;
  p.fan.shaft_power_W = 0.0;
  p.supply.process_L_per_min = 1e-9;
  p.load.wall_radiation_m2 = 0.0;
  p.insulation.casing_room_W_per_K = 1e-6;
  p.heater.power_W = 1e6;
  const double wall = p.wall.heat_capacity_J_per_K + machine::insulation_capacity_J_per_K(p);
  const double load = machine::load_capacity_J_per_K(p) - p.heater.heat_capacity_J_per_K;
  const double inside =
      p.load.inside_fraction * p.load.mass_kg * p.load.specific_heat_J_per_kgK / load;
  const double load_tau = load * (1.0 / p.load.convection_fan_W_per_K +
                                  inside * inside / p.load.inside_conductance_W_per_K);
  const double wall_tau = wall / p.wall.convection_fan_W_per_K;
  const double t = 1800.0;
  const auto taken = [t](double capacity, double tau) {
    return capacity * (300.0 - 10.0 / 60.0 * tau * (1.0 - std::exp(-t / tau)));
  };
  const std::vector<Course> courses = heating(m);
  REQUIRE(courses.size() == 2);
  CHECK(courses[0].heater_J == Approx(taken(wall, wall_tau) + taken(load, load_tau) +
                                      p.heater.heat_capacity_J_per_K * 300.0)
                                   .epsilon(2e-3));
  // The rest follows in the soak.
  CHECK(courses[0].heater_J + courses[1].heater_J ==
        Approx(machine::heated_capacity_J_per_K(p) * 300.0).epsilon(2e-3));
}

TEST_CASE("a programme that goes down takes the time and the heat of cooling") {
  machine::Machine m = one_segment(demo("bronze_strip_160"), 400.0, 8.0, 60.0);
  settings::Programme& programme = m.settings.programme;
  programme.segment_count = 2;
  programme.segments[1] = programme.segments[0];
  programme.segments[1].target = Celsius(300.0F);
  const std::vector<Course> courses = heating(m);
  REQUIRE(courses.size() == 4);
  CHECK(courses[2].points.back().value == 300.0);
  CHECK(courses[2].heater_J < 1e-3 * courses[0].heater_J);
  CHECK(courses[2].seconds > 5.0 * 100.0 / 8.0 * 60.0);
  const auto alone = cool(m.plant, 400.0, 300.0, false);
  REQUIRE(alone);
  CHECK(courses[2].seconds == Approx(alone->seconds).epsilon(0.1));
}

TEST_CASE("at full power two lumps that hang together heat as the closed form of one lump") {
  machine::Machine m = one_segment(demo("bronze_strip_160"), 520.0, 60.0, 30.0);
  m.plant = one_lump();
  m.plant.heater.power_W = 6000.0;
  const auto closed =
      formulas::heating_s(machine::heated_capacity_J_per_K(m.plant), machine::loss_W_per_K(m.plant),
                          6000.0 * m.settings.control.max_drive_permille / 1000.0, 0.0, 500.0);
  const std::vector<Course> courses = heating(m);
  REQUIRE(courses.size() == 2);
  CHECK(courses[0].seconds == Approx(*closed).epsilon(5e-3));
}

TEST_CASE("a verdict is within the bound, or formula and simulation differ") {
  CHECK(bounded(95.0, 100.0, {0.05, 0.0}).verdict() == Verdict::within);
  CHECK(bounded(94.9, 100.0, {0.05, 0.0}).verdict() == Verdict::differs);
  CHECK(bounded(94.9, 100.0, {0.05, 0.2}).verdict() == Verdict::within);
  CHECK(bounded(105.1, 100.0, {0.05, 0.0}).verdict() == Verdict::differs);
  Figure half = bounded(50.0, 100.0, {0.05, 0.0});
  CHECK(*half.deviation() == Approx(0.5));
  half.simulated.reset();
  CHECK(half.verdict() == Verdict::not_compared);
  CHECK_FALSE(half.deviation());
  CHECK_FALSE(bounded(1.0, 0.0, {0.0, 2.0}).deviation());
}

TEST_CASE("a sizing holds unless the simulated cycle failed, and no formula makes it fail") {
  Sizing sizing;
  sizing.figures = {bounded(50.0, 100.0, {0.05, 0.0})};
  CHECK(sizing.holds());
  sizing.cycle_problem = "the oven tripped";
  CHECK_FALSE(sizing.holds());
  sizing.figures = {bounded(100.0, 100.0, {0.05, 0.0})};
  CHECK_FALSE(sizing.holds());
}

TEST_CASE("a remark says by how much formula and simulation differ, and what is left out") {
  const machine::Machine m = demo("bronze_strip_160");
  const Options options;
  const Prediction prediction = predict(m, options);
  const Basis basis{m, options, prediction, nullptr};
  FigureMaker maker(basis);
  static constexpr formulas::Formula formula{"name", "x = y", "source", "the weather"};
  const auto add = [&](double simulated, bool holds) {
    Figure& f = maker.add("purge", "gate_time", "time", "min", formula, 10.0, {0.05, 0.0});
    f.simulated = simulated;
    f.assumptions = {{"the sun shines", true, ""}, {"it is stirred", holds, "9 s against 1 s"}};
  };
  add(20.0, false);
  add(20.0, true);
  add(10.0, false);
  add(0.0, true);
  const std::vector<Figure> figures = std::move(maker).take();
  CHECK(
      figures[0].remark ==
      "formula and simulation differ by 50 %: assumption not met: it is stirred (9 s against 1 s); "
      "the formula leaves out the weather");
  CHECK(figures[1].remark ==
        "formula and simulation differ by 50 %: the formula leaves out the weather");
  CHECK(figures[2].remark.empty());  // within: nothing to explain
  CHECK(figures[3].remark ==
        "formula and simulation differ by 10 min: the formula leaves out the weather");
}

TEST_CASE("a thinned curve keeps ends and corners, and its lines stay near what they replace") {
  std::vector<Point> points;
  for (int i = 0; i <= 5000; ++i) {
    const double s = i;
    points.push_back({s, i < 1000 ? 1e5 * std::exp(-s / 100.0) + 10.0 : 10.0 + (s - 1000.0)});
  }
  const std::vector<Point> few = thinned(points, 60, true);
  REQUIRE(few.size() <= 60);
  CHECK(few.front().s == 0.0);
  CHECK(few.back().s == 5000.0);
  std::size_t at = 0;
  for (const Point& each : points) {
    while (few[at + 1].s < each.s) ++at;
    const double share = (each.s - few[at].s) / (few[at + 1].s - few[at].s);
    const double line =
        std::log(few[at].value) + share * (std::log(few[at + 1].value) - std::log(few[at].value));
    CHECK(std::fabs(line - std::log(each.value)) < 0.05);
  }
  CHECK(thinned(points, 10'000, true).size() == points.size());
  const std::vector<Point> flat(500, Point{1.0, 3.0});
  CHECK(thinned(flat, 10, false).size() == 2);
}
