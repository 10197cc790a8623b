#pragma once
#include <cstdint>
#include <functional>
#include <span>
#include <vector>

#include "sim/campaign/mode.hpp"
#include "sim/campaign/nominal.hpp"
#include "sim/campaign/result.hpp"

namespace ovenproof::campaign {

/// A failure that is to come about.
struct Failure {
  const Mode* mode = nullptr;
  const Realisation* realisation = nullptr;
  std::uint64_t scan = 0;  ///< scans done when it begins
};

/// What an observer is shown between the attendant's hands and the controller's scan.
struct Sight {
  const rig::Rig& rig;
  const rig::Hands& hands_before;  ///< what the attendant's hands were
  bool exchanged_load = false;
  std::span<const Failure> begun;  ///< the failures that began just now
};
using BranchObserver = std::function<void(const Sight&)>;

/// The scan from which on a failure of that kind, begun at `onset`, can make a difference;
/// `nominal.scans()` if it does not in the whole nominal run.
std::uint64_t meets(const Realisation& realisation, std::uint64_t onset, const Nominal& nominal);

/// Goes on from a moment of the nominal run, lets the failures come about, and decides what came of
/// it. Failures begin in rising order, none before `from`; the last is the one that is judged.
/// Times count from its beginning. The number is left 0.
Result run_branch(const Nominal& nominal, const Moment& from, std::span<const Failure> failures,
                  const BranchObserver& observer = nullptr);

}  // namespace ovenproof::campaign
