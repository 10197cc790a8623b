/// The plant over a whole cycle against SUNDIALS CVODE 6 (Hindmarsh et al., ACM Transactions on
/// Mathematical Software 31, 2005) at a relative tolerance of 1e-10.
///
/// The equations are written a second time here, from docs/plant.md and straight from the
/// parameters, with the C library's functions, the jacket's formula evaluated in place and none of
/// the plant's own code but its constants: the test compares equations, not only integrators.
#include <algorithm>
#include <cmath>
#include <memory>
#include <vector>

#include <cvode/cvode.h>
#include <doctest/doctest.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include "plant_oven.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::oven_220_L;

namespace {

constexpr double ambient_K = 293.15;
constexpr double never = 1e30;

// When each actuator begins to move which way, s.
struct Script {
  double fan_on = 0.0;
  double purge_on = 5.0, purge_off = 1500.0, process_on = 1502.0;
  double heat_on = 1510.0, soak = 3000.0, heat_off = 4800.0;
  double damper_open = 4800.0, blower_on = 4815.0, blower_off = 6600.0, damper_close = 6600.0;
  double process_off = 7000.0, fan_off = 7000.0, door_open = 7010.0, end = 7060.0;
};

double ramp(double t, double on, double off, double up_s, double down_s) {
  const double rise = std::clamp((t - on) / up_s, 0.0, 1.0);
  return off >= never || t < off ? rise : std::max(0.0, 1.0 - (t - off) / down_s);
}

double power_W(const Script& s, double t) {
  if (t < s.heat_on || t >= s.heat_off) return 0.0;
  return t < s.soak ? 12000.0 : 3000.0;
}

// Flow ~ pressure balance; the loss table
// is from memory: ASHRAE Duct Fitting Database, CR9-1: check against the source.
double jacket_W(const CoolingParameters& p, double blower, double opening, double wall_K) {
  const double zeta[] = {0.19, 0.67, 1.76, 4.38, 11.2, 32.0, 113.0, 619.0, 10350.0};
  const double angle = 90.0 * (1.0 - opening);
  double area = 0.0;
  if (angle >= 80.0) {
    area = (90.0 - angle) / 10.0 / std::sqrt(zeta[8]);
  } else {
    const int i = static_cast<int>(angle / 10.0);
    area = std::pow(zeta[i], -0.5) * std::pow(zeta[i + 1] / zeta[i], -0.5 * (angle / 10.0 - i));
  }
  area += p.closed_leakage_fraction;
  const double draught_Pa =
      wall_K > ambient_K ? 1.2041 * 9.80665 * p.chimney_height_m * (1.0 - ambient_K / wall_K) : 0.0;
  const double push = blower * blower + draught_Pa / p.blower_pressure_Pa;
  const double share = std::sqrt(push * (0.19 + p.duct_loss) / (1.0 / (area * area) + p.duct_loss));
  if (share < 1e-6) return 0.0;
  const double mcp = share * p.airflow_L_per_s * 1e-3 * 1.2041 * 1007.0;
  const double ua = p.ua_W_per_K * std::pow(share, 0.8);
  return mcp * (1.0 - std::exp(-ua / mcp)) * (wall_K - ambient_K);
}

struct Problem {
  Parameters p;
  Script script;
  double epoch = 0.0;  // which side of a switch of the script a segment lies on
};

int equations(realtype t, N_Vector state, N_Vector rate, void* data) {
  const auto& [p, s, epoch] = *static_cast<Problem*>(data);
  const double* y = N_VGetArrayPointer(state);
  double* d = N_VGetArrayPointer(rate);
  const double fan = ramp(t, s.fan_on, s.fan_off, p.fan.run_up_s, p.fan.run_down_s);
  const double purge_valve = ramp(t, s.purge_on, s.purge_off, p.supply.purge_valve_stroke_s,
                                  p.supply.purge_valve_stroke_s);
  const double process_valve = ramp(t, s.process_on, s.process_off, p.supply.process_valve_stroke_s,
                                    p.supply.process_valve_stroke_s);
  const double damper =
      ramp(t, s.damper_open, s.damper_close, p.cooling.damper_open_s, p.cooling.damper_close_s);
  const double blower =
      ramp(t, s.blower_on, s.blower_off, p.cooling.blower_run_up_s, p.cooling.blower_run_down_s);
  const double door = ramp(t, s.door_open, never, p.door.travel_s, 1.0);
  const double heater = power_W(s, epoch);

  const double R = 8.314462618, V = p.chamber.volume_m3, p0 = 101325.0;
  const double cp = 29.9, cv = cp - R;
  const double litre = p0 * 1e-3 / (R * 273.15) / 60.0;  // mol/s in 1 L/min
  const double n = y[at::gas], Tw = y[at::wall], Tl = y[at::load], Te = y[at::element];
  const double T = y[at::gas_energy] / (n * cv + p.wall.baffles_J_per_K);
  const double dp = n * R * T / V - p0;
  const double f = p.mixing.pocket_fraction;
  const double x = y[at::oxygen_stirred] / (n * (1.0 - f)), xp = y[at::oxygen_pockets] / (n * f);
  const double xr = y[at::room_oxygen], xs = p.supply.oxygen_ppm * 1e-6;

  const double share =
      std::clamp((p.supply.pressure_kPa - dp / 1000.0) / p.supply.regulator_drop_kPa, 0.0, 1.0);
  const double fresh =
      litre * share *
      (purge_valve * p.supply.purge_L_per_min + process_valve * p.supply.process_L_per_min);
  const double out = litre * p.exhaust.conductance_L_per_min_Pa *
                     std::max(0.0, dp - p.exhaust.cracking_pressure_Pa);
  const double seal = dp * (litre * p.tightness.seal_conductance_L_per_min_Pa +
                            n * std::min(1.0, door / 0.05) / (p0 * 0.030));
  const double seal_out = std::max(0.0, seal), seal_in = std::max(0.0, -seal);
  const double swap = litre * p.tightness.air_ingress_L_per_min + n * door / p.door.exchange_time_s;
  const double bypass =
      (p.mixing.bypass_still + (p.mixing.bypass_fan - p.mixing.bypass_still) * fan) *
      std::min(fresh, out);
  const double dn = fresh + seal_in - out - seal_out;
  const double k = 1.0 / p.mixing.pocket_time_still_s +
                   (1.0 / p.mixing.pocket_time_fan_s - 1.0 / p.mixing.pocket_time_still_s) * fan;
  const double pockets = k * f * n * (x - xp) + f * dn * (dn > 0.0 ? x : xp);
  const double oxygen =
      fresh * xs + seal_in * xr - out * x - bypass * (xs - x) - seal_out * x + swap * (xr - x);

  const double moving = std::pow(fan, 0.8);
  const auto convection = [&](double still, double full) {
    return still + (full - still) * moving;
  };
  const double eg =
      convection(p.heater.convection_still_W_per_K, p.heater.convection_fan_W_per_K) * (Te - T);
  const double gw =
      convection(p.wall.convection_still_W_per_K, p.wall.convection_fan_W_per_K) * (T - Tw);
  const double gl =
      convection(p.load.convection_still_W_per_K, p.load.convection_fan_W_per_K) * (T - Tl);
  const double sigma = 5.670374419e-8;
  const auto radiation = [&](double area, double a, double b) {
    return sigma * area * (std::pow(a, 4) - std::pow(b, 4));
  };
  const double ew = radiation(p.heater.wall_radiation_m2, Te, Tw);
  const double wl = radiation(p.load.wall_radiation_m2, Tw, Tl);
  const double hole = 0.5 * p.door.emissivity * p.door.aperture_m2 * door;
  const double wd = radiation(hole, Tw, ambient_K), ld = radiation(hole, Tl, ambient_K);
  const double li = p.load.inside_conductance_W_per_K * (Tl - y[at::load_inside]);
  const double wi = p.insulation.wall_inner_W_per_K * (Tw - y[at::insulation_inner]);
  const double io =
      p.insulation.inner_outer_W_per_K * (y[at::insulation_inner] - y[at::insulation_outer]);
  const double oc = p.insulation.outer_casing_W_per_K * (y[at::insulation_outer] - y[at::casing]);
  const double cr = p.insulation.casing_room_W_per_K * (y[at::casing] - ambient_K);
  const double fan_W = p.fan.shaft_power_W * fan * fan * fan * n / (p0 * V / (R * 293.15));
  const double charge = p.load.mass_kg * p.load.specific_heat_J_per_kgK;
  const double inside = charge * p.load.inside_fraction;

  d[at::element] = (heater - eg - ew) / p.heater.heat_capacity_J_per_K;
  d[at::wall] = (ew + gw - wl - wi - wd - jacket_W(p.cooling, blower, damper, Tw)) /
                p.wall.heat_capacity_J_per_K;
  d[at::load] = (gl + wl - li - ld) / (p.load.rack_J_per_K + charge - inside);
  d[at::load_inside] = li / inside;
  d[at::insulation_inner] = (wi - io) / p.insulation.inner_J_per_K;
  d[at::insulation_outer] = (io - oc) / p.insulation.outer_J_per_K;
  d[at::casing] = (oc - cr) / p.insulation.casing_J_per_K;
  d[at::gas_energy] = eg - gw - gl + fan_W - cp * T * (out + seal_out) +
                      cp * ambient_K * (fresh + seal_in) - cp * swap * (T - ambient_K);
  d[at::gas] = dn;
  d[at::oxygen_pockets] = pockets;
  d[at::oxygen_stirred] = oxygen - pockets;
  const double room_mol = p0 * p.room.volume_m3 / (R * ambient_K);
  const double ventilation = room_mol * p.room.air_changes_per_h / 3600.0;
  d[at::room_oxygen] =
      (std::max(0.0, ventilation - seal_out) * (0.2095 - xr) + (seal_out + swap) * (x - xr)) /
      room_mol;
  return 0;
}

// CVODE's own objects, freed in order.
class Solver {
 public:
  Solver(Problem& problem, const StateVector& start)
      : y_((SUNContext_Create(nullptr, &context_), N_VNew_Serial(at::state_count, context_))),
        tolerance_(N_VNew_Serial(at::state_count, context_)),
        matrix_(SUNDenseMatrix(at::state_count, at::state_count, context_)),
        linear_(SUNLinSol_Dense(y_, matrix_, context_)),
        cvode_(CVodeCreate(CV_BDF, context_)) {
    for (std::size_t i = 0; i < at::state_count; ++i) {
      NV_Ith_S(y_, i) = start[i];
      NV_Ith_S(tolerance_, i) = i < at::gas_energy ? 1e-8 : (i == at::gas_energy ? 1e-5 : 1e-14);
    }
    REQUIRE(CVodeInit(cvode_, equations, 0.0, y_) == CV_SUCCESS);
    REQUIRE(CVodeSVtolerances(cvode_, 1e-10, tolerance_) == CV_SUCCESS);
    REQUIRE(CVodeSetLinearSolver(cvode_, linear_, matrix_) == CV_SUCCESS);
    REQUIRE(CVodeSetUserData(cvode_, &problem) == CV_SUCCESS);
    REQUIRE(CVodeSetMaxNumSteps(cvode_, 1000000) == CV_SUCCESS);
  }
  ~Solver() {
    CVodeFree(&cvode_);
    SUNLinSolFree(linear_);
    SUNMatDestroy(matrix_);
    N_VDestroy(tolerance_);
    N_VDestroy(y_);
    SUNContext_Free(&context_);
  }
  Solver(const Solver&) = delete;
  Solver& operator=(const Solver&) = delete;

  // From one kink of the script to the next, started afresh.
  void advance(double from, double to) {
    REQUIRE(CVodeReInit(cvode_, from, y_) == CV_SUCCESS);
    REQUIRE(CVodeSetStopTime(cvode_, to) == CV_SUCCESS);
    double reached = from;
    REQUIRE(CVode(cvode_, to, y_, &reached, CV_NORMAL) >= 0);
    REQUIRE(reached == to);
  }
  double operator[](std::size_t i) const { return NV_Ith_S(y_, i); }

 private:
  SUNContext context_ = nullptr;
  N_Vector y_, tolerance_;
  SUNMatrix matrix_;
  SUNLinearSolver linear_;
  void* cvode_;
};

// The script as the plant's inputs at one scan.
void act(Bench& bench, const Script& s, double t) {
  const auto between = [t](double on, double off) { return t >= on && t < off; };
  bench.act.k1 = bench.act.k2 = t < s.door_open;
  bench.act.heater_drive = power_W(s, t) / 12000.0;
  bench.act.fan = between(s.fan_on, s.fan_off);
  bench.act.purge_valve = between(s.purge_on, s.purge_off);
  bench.act.process_valve = between(s.process_on, s.process_off);
  bench.act.damper_open = between(s.damper_open, s.damper_close);
  bench.act.blower = between(s.blower_on, s.blower_off);
  bench.hands.door_open = t >= s.door_open;
}

}  // namespace

TEST_CASE("a whole cycle agrees with CVODE to 0.1 % in every state, all the time") {
  Problem problem{oven_220_L(), {}, 0.0};
  const Parameters& p = problem.p;
  const Script& s = problem.script;
  Bench bench(p);
  Solver reference(problem, bench.oven.state().y);

  // Kinks of the script, and every minute between to compare.
  std::vector<double> times;
  for (double t = 60.0; t < s.end; t += 60.0) times.push_back(t);
  for (const auto& [at_s, ramp_s] : std::initializer_list<std::pair<double, double>>{
           {s.fan_on, p.fan.run_up_s},
           {s.purge_on, p.supply.purge_valve_stroke_s},
           {s.purge_off, p.supply.purge_valve_stroke_s},
           {s.process_on, p.supply.process_valve_stroke_s},
           {s.heat_on, 0.0},
           {s.soak, 0.0},
           {s.heat_off, 0.0},
           {s.damper_open, p.cooling.damper_open_s},
           {s.damper_close, p.cooling.damper_close_s},
           {s.blower_on, p.cooling.blower_run_up_s},
           {s.blower_off, p.cooling.blower_run_down_s},
           {s.process_off, p.supply.process_valve_stroke_s},
           {s.fan_off, p.fan.run_down_s},
           {s.door_open, 0.05 * p.door.travel_s},
           {s.door_open, p.door.travel_s},
           {s.end, 0.0}}) {
    times.push_back(at_s);
    times.push_back(at_s + ramp_s);
  }
  std::sort(times.begin(), times.end());
  times.erase(std::unique(times.begin(), times.end()), times.end());

  double hottest_K = 0.0, lowest_oxygen = 1.0, worst = 0.0;
  int compared = 0;
  double from = 0.0;
  long scan = 0;
  for (const double to : times) {
    if (to <= from || to > s.end) continue;
    problem.epoch = from;
    reference.advance(from, to);
    from = to;
    const long until = std::lround(to * 100.0);
    for (; scan < until; ++scan) {
      act(bench, s, static_cast<double>(scan) / 100.0);
      bench.scan();
    }
    if (bench.oven.state().scans_pending != 0) continue;  // compared at the next whole instant
    const StateVector& y = bench.oven.state().y;
    for (std::size_t i = 0; i < at::state_count; ++i) {
      // Temperatures count from the room's, with 1 K as the least that matters.
      const bool temperature = i <= at::casing;
      const double size = temperature ? std::max(1.0, std::fabs(reference[i] - ambient_K))
                                      : std::fabs(reference[i]);
      const double error = std::fabs(y[i] - reference[i]) / size;
      INFO("state " << i << " at " << to << " s: plant " << y[i] << ", CVODE " << reference[i]);
      CHECK(error < 1e-3);
      worst = std::max(worst, error);
    }
    hottest_K = std::max(hottest_K, y[at::load]);
    ++compared;
    lowest_oxygen = std::min(lowest_oxygen, y[at::oxygen_stirred] / y[at::gas]);
  }
  CHECK(worst < 1e-4);  // what is reached, kept
  CHECK(compared > 110);
  // It was a cycle: purged, hot, cooled, opened.
  CHECK(hottest_K > to_K(300.0));
  CHECK(lowest_oxygen < 50e-6);
  CHECK(bench.truth().load_degC < 200.0);
  CHECK(bench.truth().oxygen > 0.15);
  CHECK(scan == std::lround(s.end * 100.0));
}
