#pragma once
#include <cstdint>
#include <functional>
#include <set>
#include <span>
#include <vector>

#include "sim/campaign/mode.hpp"
#include "sim/campaign/nominal.hpp"
#include "sim/campaign/result.hpp"
#include "sim/scenario/act.hpp"

namespace ovenproof::campaign {

/// A failure that is to occur.
struct Failure {
  const Mode* mode = nullptr;
  const Realisation* realisation = nullptr;
  std::uint64_t scan = 0;  ///< scans done when it begins
  /// Who works the oven from then on.
  cycle::Habit attendant = cycle::Habit::usual;
};

/// What an observer is shown between the attendant's hands and the controller's scan.
struct Sight {
  const rig::Rig& rig;
  const rig::Hands& hands_before;  ///< what the attendant's hands were
  bool exchanged_load = false;
  bool switched_power = false;
  std::span<const Failure> begun;  ///< the failures that began just now
};
/// Hazards by index in `hazards::default_hazards()`.
using HazardSet = std::set<std::size_t>;

using BranchObserver = std::function<void(const Sight&)>;

/// The scan from which on a failure of that kind, begun at `onset`, can make a difference;
/// `nominal.scans()` if it does not in the whole nominal run.
std::uint64_t meets(const Realisation& realisation, std::uint64_t onset, const Nominal& nominal);

/// An oven on its way from a moment of the nominal run, with what has failed since. A plain value:
/// a copy goes on bit for bit as the original would.
class Course {
 public:
  Course(const Nominal& nominal, const Moment& from) : now_(from), actor_(nominal.oven()) {}

  /// Goes on until that many scans are done. Failures begin when they are due, in rising order;
  /// those due before the present scan began before.
  void go_on(std::uint64_t until, std::span<const Failure> failures,
             const BranchObserver& observer = nullptr);

  [[nodiscard]] const Moment& now() const { return now_; }

 private:
  friend Result run_branch(const Nominal&, Course, std::span<const Failure>, const BranchObserver&,
                           const HazardSet&);

  /// What is done to the oven before the scan.
  void act(std::span<const Failure> begin, const BranchObserver& observer);

  Moment now_;
  scenario::Actor actor_;
};

/// Goes on, lets the failures occur, and decides what came of it. Failures begin in rising
/// order; those due before the course's scan are under way. The last is still to come and the one
/// that is judged: times count from its beginning. The number is left 0. `not_judged`: hazards that
/// do not count.
Result run_branch(const Nominal& nominal, Course from, std::span<const Failure> failures,
                  const BranchObserver& observer = nullptr, const HazardSet& not_judged = {});

/// The hazards that an attendant of that habit brings about without any failure, taking over when
/// `scan` scans are done.
HazardSet attendants_own(const Nominal& nominal, cycle::Habit habit, std::uint64_t scan);

}  // namespace ovenproof::campaign
