#pragma once
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "firmware/logic/facts.hpp"

/// Any machine in place of the logic.
///
/// The executable with these tests defines the members of logic::Logic by itself. So the object
/// code of the explorer that ships, unaltered, explores whatever machine a test gives it.
namespace ovenproof::prove::test {

/// A machine of up to 30 bits. Bits 0 to 7 are told as the outputs, `command.k1` first.
struct Machine {
  using Step = std::function<std::uint32_t(std::uint32_t state, const logic::Facts& facts)>;

  std::uint32_t initial = 0;
  /// One scan: the next state. Facts are its free choices.
  Step scan;
  /// If there is one, the first half of the scan.
  Step before = {};
};

/// Of what the explorer says about a machine.
struct Examined {
  std::size_t states = 0;  ///< of the machine alone
  unsigned depth = 0;
  std::size_t farthest = 0;  ///< states at that depth
  struct Verdict {
    std::optional<std::size_t> violated_after;  ///< scans of the shortest run
    bool premise_met = false;
  };
  std::vector<Verdict> verdicts;
};

/// Explores the machine, and once more for each property. Each counterexample is played on the
/// machine and judged by the run-time monitor; it must come out so in its last scan.
[[nodiscard]] Examined examine(const Machine& machine, const std::vector<std::string>& properties);

/// Free choices among several, made by reading facts.
class Chooser {
 public:
  explicit Chooser(const logic::Facts& facts) : facts_(facts) {}
  /// A number below `count`.
  unsigned operator()(unsigned count);

 private:
  const logic::Facts& facts_;
  unsigned asked_ = 0;
};

/// A few bits of the state.
struct Field {
  unsigned at;
  unsigned width = 1;

  [[nodiscard]] constexpr std::uint32_t mask() const { return ((1U << width) - 1U) << at; }
  [[nodiscard]] constexpr std::uint32_t of(std::uint32_t state) const {
    return (state & mask()) >> at;
  }
  [[nodiscard]] constexpr std::uint32_t put(std::uint32_t state, std::uint32_t value) const {
    return (state & ~mask()) | (value << at & mask());
  }
};

}  // namespace ovenproof::prove::test
