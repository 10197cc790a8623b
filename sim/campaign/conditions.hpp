#pragma once
#include <cstdint>

#include "hal-mock/point.hpp"
#include "sim/campaign/mode.hpp"
#include "sim/rig/rig.hpp"
#include "sim/scenario/case.hpp"

/// What an oven must do before a failure that sleeps can make a difference: a contact that is stuck
/// closed is as good as new until it should open.
namespace ovenproof::campaign {

/// A set of conditions that came in one scan or over many.
using Conditions = std::uint64_t;

/// Comes in every scan: whoever waits for it does not sleep.
inline constexpr Conditions every_scan = Conditions{1} << 63;

/// A contact input was presented closed, or open.
constexpr Conditions contact(hal::DigitalIn point, bool closed) {
  return Conditions{1} << (static_cast<unsigned>(point) + (closed ? 0U : 16U));
}
/// An actuator's coil was driven on, or off, at the end of the scan. Lamps and horn have none:
/// nothing in the oven follows them.
constexpr Conditions coil(hal::DigitalOut point, bool on) {
  const auto n = static_cast<unsigned>(point);
  return n < static_cast<unsigned>(hal::DigitalOut::run_lamp)
             ? Conditions{1} << (32U + n + (on ? 0U : 8U))
             : Conditions{0};
}
/// Both contactors are closed: the heater gets what its drive says.
inline constexpr Conditions heater_fed = Conditions{1} << 48;
/// The contactor is closed and its coil wants it open.
inline constexpr Conditions k1_drops = Conditions{1} << 49;
inline constexpr Conditions k2_drops = Conditions{1} << 50;
inline constexpr Conditions purge_valve_moves = Conditions{1} << 51;
inline constexpr Conditions process_valve_moves = Conditions{1} << 52;
inline constexpr Conditions damper_moves = Conditions{1} << 53;
/// The limiter's sensor is at its set point.
inline constexpr Conditions limiter_called = Conditions{1} << 54;
/// The controller starts, and reads its settings.
inline constexpr Conditions controller_starts = Conditions{1} << 55;

static_assert(hal::digital_in_count <= 16);
static_assert(static_cast<unsigned>(hal::DigitalOut::run_lamp) <= 8);

/// Tells scan by scan which conditions came.
class ConditionWatch {
 public:
  explicit ConditionWatch(const rig::Rig& rig) { before(rig); }
  /// When hands are where they will be in the scan.
  void before(const rig::Rig& rig);
  /// After the scan.
  [[nodiscard]] Conditions after(const rig::Rig& rig) const;

 private:
  Conditions contacts_ = 0;
  plant::Positions positions_;
  bool k1_closed_ = false;
  bool k2_closed_ = false;
  bool running_ = false;
};

/// The conditions of which one must come before the act can make a difference. `every_scan` if it
/// may do so at once; nothing if it never can.
Conditions woken_by(const scenario::Act& act);
Conditions woken_by(const Realisation& realisation);

}  // namespace ovenproof::campaign
