#include "firmware/control/gas_contraction.hpp"

namespace ovenproof::control {
namespace {

constexpr float zero_celsius_K = 273.15F;
constexpr float hottest_C = 2'000.0F;  // beyond it nothing is a chamber temperature

}  // namespace

void GasContraction::update(Celsius chamber, bool valid, float chamber_volume_L,
                            const settings::Cooling& settings, Milliseconds dt) {
  const float temperature_K = chamber.value + zero_celsius_K;
  if (!valid || !(temperature_K > 100.0F && chamber.value < hottest_C)) {
    *this = GasContraction{};
    return;
  }
  chamber_ = chamber;
  if (!running_) {
    running_ = true;
    filtered_.restart(chamber.value);
    return;
  }
  const float filter_s = seconds(settings.shrink_filter);
  filtered_.update(chamber.value, filter_s, seconds(dt));
  const float rate_K_per_min =
      filter_s > 0.0F ? (chamber.value - filtered_.value()) / filter_s * 60.0F : 0.0F;
  shrink_ = LitresPerMinute{-rate_K_per_min * chamber_volume_L *
                            (zero_celsius_K / temperature_K / temperature_K)};
  age_ = saturating_sum(age_, dt);
  ready_ = age_.value / 3 >= settings.shrink_filter.value;
}

bool GasContraction::made_up(LitresPerMinute process_flow,
                             const settings::Cooling& settings) const {
  return ready_ && shrink_.value <= settings.make_up_fraction.value * process_flow.value;
}

bool GasContraction::settled(LitresPerMinute process_flow,
                             const settings::Cooling& settings) const {
  return made_up(process_flow, settings) && chamber_ <= settings.settled_temperature &&
         shrink_ <= settings.settled_shrink;
}

}  // namespace ovenproof::control
