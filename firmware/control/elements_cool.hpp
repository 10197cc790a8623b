#pragma once
#include "firmware/math/units.hpp"
#include "firmware/settings/settings.hpp"

namespace ovenproof::control {

/// Tells when the heating elements no longer need airflow: heat off for at least the run-on time
/// and the chamber at most at the elements-cool temperature. At start-up nothing is known of the
/// past, so the run-on time counts from there.
class ElementsCool {
 public:
  /// One scan. `heating`: the heater may be getting power (drive above zero, or its contactors not
  /// proven open). `valid` false (or a temperature that is not finite): not cool.
  void update(bool heating, Celsius chamber, bool valid, const settings::Cooling& settings,
              Milliseconds dt);

  [[nodiscard]] bool cool() const { return cool_; }
  [[nodiscard]] Milliseconds off_time() const { return off_; }

  friend bool operator==(const ElementsCool&, const ElementsCool&) = default;

 private:
  bool was_off_ = false;
  bool cool_ = false;
  Milliseconds off_{};
};

}  // namespace ovenproof::control
