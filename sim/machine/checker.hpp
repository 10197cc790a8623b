#pragma once
#include <string>
#include <utility>
#include <vector>

#include "sim/machine/given.hpp"
#include "sim/machine/keys.hpp"

namespace ovenproof::machine {

/// Checks keys of one machine against each other.
class Checker {
 public:
  Checker(const Machine& machine, const Given& given, const std::string& file)
      : machine_(machine), given_(given), file_(file) {}

  /// Reports unless it holds. The error stands at the first of `keys` that the file gives; the
  /// others are named beside it. Does nothing if a key is already reported or its part is not
  /// fitted.
  void need(bool holds, const std::vector<std::string>& keys, std::string expected,
            std::string hint = "");

  std::vector<Error> errors() && { return std::move(errors_); }

 private:
  [[nodiscard]] bool all_usable(const std::vector<std::string>& keys) const;
  [[nodiscard]] std::string text_of(const std::string& full) const;

  const Machine& machine_;
  const Given& given_;
  const std::string& file_;
  std::vector<Error> errors_;
};

/// What of the chamber's relief valves cannot stand together. `purge_Pa`: gauge pressure to which
/// the exhaust backs up while purging.
void check_relief(Checker& check, const Machine& machine, double purge_Pa);

/// What of the blanket, of the gas valve that the door works and of the stated capacity for gas
/// cannot stand together.
void check_gas_flow(Checker& check, const Machine& machine);

/// What of the safety data cannot stand together.
void check_safety(Checker& check, const Machine& machine);

/// What of a cycle's temperatures should be looked at: overshoot into the over-temperature limit or
/// the limiter, and cooling that ends later than at the unload temperature. By `thermal_course`.
void look_at_course(Checker& look, const Machine& machine);

/// What people do at the open door: an airing too short for the door's exchange, and a load that is
/// unloaded hotter than people may touch.
void look_at_people(Checker& look, const Machine& machine);

/// Channels of safety functions that the wiring of the simulated oven does not have.
void look_at_safety(Checker& look, const Machine& machine);

/// What of the sensors, the door and the limits of diagnosis lets a failure pass unseen.
void look_at_guards(Checker& look, const Machine& machine);

}  // namespace ovenproof::machine
