#pragma once
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include "point.hpp"

/// The logic as a relation, to be compared with that of a logic with a defect.
namespace ovenproof::defects {

/// What each step of a scan does from every point that a scan can come to, whatever the facts are:
/// of the logic without defect.
///
/// Two logics that are born alike and agree at all these points do the same for ever, to the last
/// timer. Facts are chosen anew in every step, so there are more points than scans really come to:
/// a difference may be one that no scan shows.
class Relation {
 public:
  /// To be made while no defect is awake.
  explicit Relation(const logic::Options& options);

  /// How the logic with the defect that is awake now does otherwise; empty if it does not.
  [[nodiscard]] std::optional<std::string> difference() const;
  /// How the two can be told apart by what they say in any scan, whatever they remember and
  /// whatever timers they run: both run beside each other, told the same facts. A timer that has
  /// not run alike in both may have elapsed in one alone.
  [[nodiscard]] std::optional<std::string> telling_difference() const;
  /// The same as difference() for whole scans from the states that are really come to, as an
  /// example for people.
  [[nodiscard]] std::optional<std::string> difference_of_scans() const;

  [[nodiscard]] const logic::Options& options() const { return options_; }
  [[nodiscard]] std::size_t states() const { return starts_.size(); }
  [[nodiscard]] std::size_t points() const { return points_.size(); }
  [[nodiscard]] std::size_t steps() const { return ways_.size(); }

 private:
  struct Way {
    prove::Reading reading;
    std::uint32_t to;        ///< a point, where no timer is told yet
    logic::TimerSet timers;  ///< that this step runs; nothing in a scan ever looks at them
  };

  /// The step of the sound logic, from a point, that fits what the adversary says.
  [[nodiscard]] const Way& way_from(std::uint32_t point, prove::Adversary& adversary) const;

  /// How the step of the logic with the defect does otherwise from this point; empty if it does
  /// not.
  [[nodiscard]] std::optional<std::string> difference_at(std::uint32_t point,
                                                         logic::Logic& logic) const;
  /// Points at which it does.
  [[nodiscard]] std::vector<std::uint32_t> parting_points() const;

  logic::Options options_;
  std::vector<std::uint64_t> births_;
  std::vector<std::uint32_t> starts_;                          ///< points at which scans begin
  std::unordered_map<std::uint64_t, std::uint32_t> start_of_;  ///< by packed state
  std::unordered_set<std::uint64_t> reached_;  ///< states of these that are really come to
  std::vector<Point> points_;
  std::vector<std::size_t> first_way_;  ///< of each point; one more at the end
  std::vector<Way> ways_;
};

}  // namespace ovenproof::defects
