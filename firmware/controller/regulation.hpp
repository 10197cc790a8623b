#pragma once
#include <optional>

#include "firmware/control/elements_cool.hpp"
#include "firmware/control/gas_contraction.hpp"
#include "firmware/control/heater_drive.hpp"
#include "firmware/control/pid.hpp"
#include "firmware/control/programme.hpp"
#include "firmware/control/purge_counter.hpp"
#include "firmware/controller/configuration.hpp"
#include "firmware/controller/fact_table.hpp"
#include "firmware/controller/instruments.hpp"
#include "firmware/logic/commands.hpp"

namespace ovenproof::controller {

/// Everything that counts, measures time or regulates: what the logic commands and never sees but
/// as facts.
class Regulation {
 public:
  /// One scan, after the logic. `evaluated`: the interval of the readings if they are new.
  void update(const logic::Commands& commands, const Instruments& instruments, Milliseconds dt,
              std::optional<Milliseconds> evaluated, const Configuration& c);

  /// Writes the facts that come from counting, timing and regulating.
  void tell(FactTable& facts, const Configuration& c) const;

  [[nodiscard]] const control::Programme& programme() const { return programme_; }
  [[nodiscard]] const control::PurgeCounter& purge_counter() const { return purge_counter_; }
  [[nodiscard]] const control::HeaterDrive& drive() const { return drive_; }

 private:
  void regulate(const logic::Commands& commands, const conditioning::Reading<Celsius>& temperature,
                Milliseconds dt, std::optional<Milliseconds> evaluated, const Configuration& c);

  TimerBank timers_;
  control::PurgeCounter purge_counter_;
  control::Programme programme_;
  control::Pid pid_;
  control::HeaterDrive drive_;
  control::GasContraction contraction_;
  control::ElementsCool elements_cool_;
  Fraction demand_;
};

}  // namespace ovenproof::controller
