#pragma once
#include <optional>
#include <string>

#include "sim/machine/error.hpp"

namespace ovenproof::machine {

struct Machine;

/// A person's word that what a machine file accepts, excludes and states of safety holds for this
/// machine. Each text is empty if it was not stated.
struct SignOff {
  std::string by;
  std::string date;     ///< year-month-day
  std::string machine;  ///< name of the machine that was signed for
  std::string digest;   ///< `sign_off_digest` of it
  Place at;             ///< of the digest, else of the group; line 0 if there is none
};

/// Whether the machine file says something that a person must sign for: accepted or excluded
/// failure modes, data of safety functions.
bool needs_sign_off(const Machine& machine);

/// What a sign-off covers, as 32 hexadecimal digits: half of the SHA-256 of every value of the
/// machine, stated or default, but those of the sign-off itself. Comments, order, and the unit in
/// which a value is written make no difference. The same on every platform.
std::string sign_off_digest(const Machine& machine);

/// Why what needs a sign-off does not count: there is none, it is incomplete, or it is of another
/// machine. Nothing if it counts, and for a machine that needs none.
std::optional<Error> sign_off_fault(const Machine& machine);

/// The lines of a machine file with which a person signs for this machine; name and date are left
/// for the person to fill in.
std::string sign_off_text(const Machine& machine);

}  // namespace ovenproof::machine
