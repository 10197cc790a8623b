#pragma once
#include <array>
#include <optional>

#include "firmware/conditioning/flap_watch.hpp"
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

  /// A reset was accepted: faults of trust are forgotten and judged once more.
  void acknowledge();
  /// The oven may be unloaded from this scan on: what the opening must show is not yet seen.
  void expect_opening(const Configuration& c);

  /// The contact is on, and does not come and go.
  [[nodiscard]] bool proven(hal::DigitalIn proof) const {
    return contacts_.on(proof) && flaps_[static_cast<std::size_t>(proof)].steady();
  }

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
  std::array<conditioning::FlapWatch, hal::digital_in_count>
      flaps_{};  ///< those of proofs are used
  bool oxygen_seen_valid_ = false;
  bool oxygen_has_read_air_ = false;
};

}  // namespace ovenproof::controller
