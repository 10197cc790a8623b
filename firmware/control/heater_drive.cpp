#include "firmware/control/heater_drive.hpp"

#include <algorithm>

#include "firmware/control/accumulate.hpp"

namespace ovenproof::control {

void HeaterDrive::update(Fraction demand, bool permitted, const settings::Control& settings,
                         Milliseconds dt) {
  const auto most = static_cast<float>(std::min<std::uint32_t>(settings.max_drive_permille, 1000));
  const float step = static_cast<float>(settings.drive_rate_permille_per_s) * seconds(dt);
  const float wanted = permitted ? bounded(demand.value * 1000.0F, 0.0F, most) : 0.0F;
  drive_permille_ = std::min(wanted, drive_permille_ + step);
}

std::uint16_t HeaterDrive::permille() const {
  return static_cast<std::uint16_t>(drive_permille_ + 0.5F);
}

}  // namespace ovenproof::control
