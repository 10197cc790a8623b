#pragma once
#include <optional>

#include "firmware/conditioning/press.hpp"
#include "firmware/controller/configuration.hpp"
#include "firmware/controller/fact_table.hpp"
#include "firmware/hal/image.hpp"
#include "firmware/logic/outputs.hpp"

namespace ovenproof::controller {

/// Everything that reads the process image: contacts, door, analogue readings, and the judgement
/// whether a reading can be true.
class Instruments {
 public:
  /// One scan. `energised` and `drive`: what the controller put out in the scan before. Gives the
  /// time since the readings were last evaluated, in the scans in which they are.
  std::optional<Milliseconds> update(const hal::InputImage& image, Milliseconds dt,
                                     logic::OutputSet energised, Fraction drive,
                                     const Configuration& c);

  /// Writes the facts that come from instruments alone.
  void tell(FactTable& facts, const Configuration& c) const;

  /// A reset was accepted: faults of trust are forgotten and judged anew.
  void acknowledge() { trust_.acknowledge(); }

  [[nodiscard]] const conditioning::Reading<Celsius>& temperature() const {
    return temperature_.reading();
  }
  [[nodiscard]] const conditioning::Reading<Ppm>& oxygen() const { return analog_.oxygen(); }
  [[nodiscard]] const conditioning::OxygenFaults& oxygen_faults() const { return trust_.faults(); }
  [[nodiscard]] const conditioning::AnalogFrontEnd& analog() const { return analog_; }
  [[nodiscard]] const conditioning::ContactBank& contacts() const { return contacts_; }
  [[nodiscard]] const conditioning::Door& door() const { return door_; }

 private:
  void judge(Milliseconds interval, logic::OutputSet energised, Fraction drive,
             const Configuration& c);
  [[nodiscard]] bool oxygen_failed() const;

  conditioning::ContactBank contacts_;
  conditioning::Door door_;
  conditioning::Press start_;
  conditioning::Press reset_;
  conditioning::AnalogFrontEnd analog_;
  conditioning::OvenTemperature temperature_;
  conditioning::OverTemperature over_temperature_;
  conditioning::HeatPlausibility heat_;
  conditioning::OxygenTrust trust_;
  conditioning::OxygenThresholds thresholds_;
  bool oxygen_seen_valid_ = false;
};

}  // namespace ovenproof::controller
