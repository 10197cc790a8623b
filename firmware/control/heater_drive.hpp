#pragma once
#include <cstdint>

#include "firmware/math/units.hpp"
#include "firmware/settings/settings.hpp"

namespace ovenproof::control {

/// From a demanded fraction to the heater drive: at most `max_drive_permille`, rising no faster
/// than `drive_rate_permille_per_s`, falling at once, and zero at once when not permitted.
class HeaterDrive {
 public:
  /// One scan. A demand that is not a number counts as zero. `dt`: time since the last update.
  void update(Fraction demand, bool permitted, const settings::Control& settings, Milliseconds dt);

  /// Heater drive for the output image, 0..1000.
  [[nodiscard]] std::uint16_t permille() const;
  /// The same before rounding to permille, for the controller to track: rounding is no limit.
  [[nodiscard]] Fraction applied() const { return Fraction{drive_permille_ / 1000.0F}; }

  friend bool operator==(const HeaterDrive&, const HeaterDrive&) = default;

 private:
  float drive_permille_ = 0.0F;
};

}  // namespace ovenproof::control
