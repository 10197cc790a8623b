#pragma once
#include <optional>

#include "random_machine.hpp"

/// A general-purpose solver's word on a machine: z3, which has nothing in common with the explorer.
namespace ovenproof::prove::test {

/// Whether the claim is false in any scan of any run, over runs of any length.
[[nodiscard]] bool solver_refutes(const RandomMachine& machine);
/// Whether all that must happen for the claim's parts to say anything does happen.
[[nodiscard]] bool solver_reaches_premises(const RandomMachine& machine);
/// Whether a run of just so many scans ends in one in which the claim is false.
[[nodiscard]] bool solver_refutes_in(const RandomMachine& machine, std::size_t scans);

}  // namespace ovenproof::prove::test
