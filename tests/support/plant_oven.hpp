#pragma once
#include <cmath>

#include <doctest/doctest.h>

#include "sim/plant/plant.hpp"

/// An oven and hands on it, for the plant's tests.
namespace ovenproof::plant::testing {

/// A sealed oven of about 220 L with jacket cooling: a test fixture, no real machine.
inline Parameters oven_220_L() {
  Parameters p;
  p.chamber.volume_m3 = 0.220;
  p.supply.purge_L_per_min = 100.0;
  p.supply.process_L_per_min = 25.0;
  p.tightness.air_ingress_L_per_min = 0.003;
  p.heater.power_W = 12000.0;
  p.wall.heat_capacity_J_per_K = 26000.0;
  p.load.mass_kg = 60.0;
  p.load.specific_heat_J_per_kgK = 480.0;
  p.cooling.airflow_L_per_s = 120.0;
  p.limiter.set_point_degC = 700.0;
  return p;
}

/// Equal within a relative tolerance, also far below 1 (doctest's own scale adds 1 to the size).
inline doctest::Approx near(double value, double relative) {
  return doctest::Approx(value).epsilon(relative).scale(0.0);
}

/// One oven with everything that acts on it.
struct Bench {
  explicit Bench(const Parameters& p = oven_220_L(), const InitialCondition& initial = {},
                 const Timing& timing = {})
      : oven(p, Surroundings{}, initial, timing) {}

  Plant oven;
  Actuation act;
  Operator hands;
  Surroundings around;

  void scan() { oven.step(act, hands, around); }

  void run(double seconds) {
    const auto scans = static_cast<long>(std::llround(seconds / oven.timing().scan_s));
    for (long i = 0; i < scans; ++i) scan();
  }

  /// Runs until `reached`, at most `limit_s`; gives the time it took, or infinity.
  template <class Predicate>
  double run_until(Predicate reached, double limit_s) {
    const double start_s = time_s();
    while (!reached(oven)) {
      if (time_s() - start_s > limit_s) return INFINITY;
      scan();
    }
    return time_s() - start_s;
  }

  double time_s() const { return static_cast<double>(oven.state().scans) * oven.timing().scan_s; }
  Truth truth() const { return oven.truth(); }
  const Field& field() const { return oven.field(); }
};

}  // namespace ovenproof::plant::testing
