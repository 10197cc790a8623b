#pragma once
#include <optional>
#include <string>
#include <vector>

#include "sim/prove/counterexample.hpp"
#include "sim/prove/explorer.hpp"
#include "sim/prove/interlocks.hpp"
#include "sim/prove/recovery.hpp"

/// The whole proof for one configuration: interlocks, coverage, recovery.
namespace ovenproof::prove {

enum class Standing : std::uint8_t {
  proved,
  refuted,
  vacuous,  ///< holds only because what it speaks of never happens
  open      ///< memory ran out before it was decided
};
/// In files, such as "proved".
[[nodiscard]] const char* name_of(Standing standing);

struct Claim {
  Interlock interlock;
  Standing standing = Standing::open;
  std::vector<std::string> never_met;  ///< premises that make it vacuous, as written in it
  std::optional<Script> script;        ///< minimised, if refuted
  std::optional<Played> played;        ///< the script's run
  std::vector<FactSet> as_usual;       ///< of each scan of it, see needed_as_usual
};

struct Proof {
  logic::Options options;
  std::vector<Claim> claims;
  std::vector<Part> idle;  ///< parts of the logic that were never at work
  /// The scan that the controller calls did what was explored step by step, wherever it was tried.
  bool as_explored = true;
  std::size_t parts = 0;
  Recovery recovery;
  // Of the exploration.
  bool complete = false;
  bool stopped = false;  ///< by Limits::stop_at_violation, so not complete
  std::size_t states = 0;
  std::uint64_t scans = 0;
  std::uint64_t steps = 0;
  std::uint64_t transitions = 0;
  unsigned depth = 0;
  std::size_t peak_bytes = 0;

  [[nodiscard]] double bytes_per_state() const {
    return static_cast<double>(peak_bytes) / static_cast<double>(states);
  }
  /// Idle parts that ought to be at work: states, transitions and rows without a reason.
  [[nodiscard]] std::vector<Part> dead() const;
  /// Every claim proved, no part dead, recovery without a stuck state, nothing left open.
  [[nodiscard]] bool holds() const;
};

/// What is to be proved, checked: either properties or errors.
struct Checked {
  std::vector<properties::Property> properties;
  std::vector<std::string> errors;  ///< "REQ-X 1:17: expected ..."
};
[[nodiscard]] Checked check(const std::vector<Interlock>& interlocks);

/// Proves the interlocks that apply. Throws std::invalid_argument if check() finds errors.
[[nodiscard]] Proof prove(const Subject& subject, const Durations& durations,
                          const std::vector<Interlock>& interlocks, const Limits& limits);

/// Words that go with every result: what was assumed of the facts.
[[nodiscard]] std::vector<std::string> assumptions(const Subject& subject);

/// All combinations of what can be ordered.
[[nodiscard]] std::vector<logic::Options> all_options();

}  // namespace ovenproof::prove
