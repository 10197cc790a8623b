#include "sim/campaign/rest.hpp"

#include <algorithm>

namespace ovenproof::campaign {
namespace {

constexpr mock::VirtualMs sample_every_ms = 30'000;

}  // namespace

const Rest::Sample* Rest::then() const {
  return taken_ < window ? nullptr : &samples_[taken_ % window];
}

bool Rest::observe(const rig::Rig& rig, bool load_met_oxygen) {
  if (rig.now_ms() % sample_every_ms >= rig.period_ms()) return false;
  const plant::Truth truth = rig.truth();
  const plant::Parameters& p = oven_.oven.plant;
  const Sample now{
      plant::worst_oxygen(truth),
      std::max({truth.load_degC, truth.load_inside_degC, truth.element_degC, truth.wall_degC}),
      truth.room_oxygen, truth.pressure_Pa};
  const Sample* then = this->then();

  const mock::FieldOutputs& out = rig.board().field_outputs();
  const bool cut_off = !(truth.k1_closed && truth.k2_closed) &&
                       !(out.energised(hal::DigitalOut::k1) && out.energised(hal::DigitalOut::k2));
  const bool cold = now.hottest_degC < p.load.oxidation_temperature_degC;
  const bool cools = then != nullptr && now.hottest_degC <= then->hottest_degC;
  const double valves_L_per_min = truth.process_L_per_min + truth.purge_L_per_min;
  const bool held = p.blanket.pressure_Pa && truth.pressure_Pa > 0.0;
  const double half = 0.5e-6 * p.load.max_oxygen_ppm;
  const bool blanketed = (valves_L_per_min > 0.5 * p.supply.process_L_per_min || held) &&
                         now.oxygen < half && then != nullptr &&
                         now.oxygen <= then->oxygen + 0.01 * half;
  const bool gas_flows = truth.gas_L_per_min > 1.0;
  // Half a thousandth of the air's oxygen in five minutes is a fall that goes nowhere.
  const bool room_settles = then != nullptr && now.room_oxygen >= then->room_oxygen - 1e-4;
  // From 40 degC down to the room's temperature a chamber can draw few per cent of its pressure.
  const bool draws = !gas_flows && now.hottest_degC > 40.0 &&
                     (then == nullptr || now.pressure_Pa < then->pressure_Pa - 1.0);
  const bool rests = !draws && cut_off && taken_ > 0 &&
                     (cold || (cools && (blanketed || load_met_oxygen))) &&
                     (!gas_flows || room_settles);
  samples_[taken_++ % window] = now;
  return rests;
}

}  // namespace ovenproof::campaign
