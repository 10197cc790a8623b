#include "firmware/control/elements_cool.hpp"

#include "firmware/control/accumulate.hpp"

namespace ovenproof::control {

void ElementsCool::update(bool heating, Celsius chamber, bool valid,
                          const settings::Cooling& settings, Milliseconds dt) {
  if (heating)
    off_ = Milliseconds{};
  else if (was_off_)
    off_ = saturating_sum(off_, dt);
  was_off_ = !heating;
  cool_ = !heating && off_ >= settings.fan_run_on && valid && finite(chamber.value) &&
          chamber <= settings.elements_cool_temperature;
}

}  // namespace ovenproof::control
