#include "sim/campaign/rest.hpp"

#include <algorithm>

namespace ovenproof::campaign {
namespace {

constexpr mock::VirtualMs sample_every_ms = 60'000;

}  // namespace

bool Rest::settles(const Sample& now) const {
  if (taken_ < window) return false;
  const Sample& then = samples_[taken_ % window];  // the oldest
  return now.oxygen <= then.oxygen && now.load_degC <= then.load_degC &&
         now.element_degC <= then.element_degC && now.wall_degC <= then.wall_degC;
}

bool Rest::room_settles(const Sample& now) const {
  // A thousandth of the air's oxygen in ten minutes is a fall that goes nowhere.
  return taken_ >= window && now.room_oxygen >= samples_[taken_ % window].room_oxygen - 2e-4;
}

bool Rest::observe(const rig::Rig& rig) {
  if (rig.now_ms() % sample_every_ms >= rig.period_ms()) return false;
  const plant::Truth truth = rig.truth();
  const Sample now{truth.oxygen, truth.load_degC, truth.element_degC, truth.wall_degC,
                   truth.room_oxygen};
  const plant::Parameters& p = oven_.oven.plant;
  const bool cut_off = !(truth.k1_closed && truth.k2_closed) &&
                       !(rig.board().field_outputs().energised(hal::DigitalOut::k1) &&
                         rig.board().field_outputs().energised(hal::DigitalOut::k2));
  const double hottest =
      std::max({truth.load_degC, truth.load_inside_degC, truth.element_degC, truth.wall_degC});
  const bool cold = hottest < p.load.oxidation_temperature_degC;
  const bool blanketed = truth.process_L_per_min > 0.5 * p.supply.process_L_per_min &&
                         truth.oxygen * 1e6 < 0.5 * p.load.max_oxygen_ppm;
  const bool gas_flows = truth.process_L_per_min + truth.purge_L_per_min > 1.0;
  const bool rests = cut_off && taken_ > 0 && (cold || (blanketed && settles(now))) &&
                     (!gas_flows || room_settles(now));
  samples_[taken_++ % window] = now;
  return rests;
}

}  // namespace ovenproof::campaign
