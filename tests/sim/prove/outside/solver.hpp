#pragma once
#include <optional>

#include "random_machine.hpp"

/// A general-purpose solver's word on a machine: z3, which has nothing in common with the explorer.
namespace ovenproof::prove::test {

/// Whether the claim is false in any scan of any run, over runs of any length.
[[nodiscard]] bool solver_refutes(const RandomMachine& machine);
/// The same of the premise of a claim that is an implication: whether it comes about.
[[nodiscard]] bool solver_reaches_premise(const RandomMachine& machine);
/// Whether a run of just so many scans ends in one in which the claim is false.
[[nodiscard]] bool solver_refutes_in(const RandomMachine& machine, std::size_t scans);

}  // namespace ovenproof::prove::test
