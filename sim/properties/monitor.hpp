#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sim/properties/property.hpp"

namespace ovenproof::properties {

enum class Outcome : std::uint8_t {
  holds,
  violated,
  undecided,  ///< the run ended inside a time window that could still have gone either way
};

/// How far a property was from the other verdict, in one unit, and where that was closest.
///
/// Sound: value > 0 only if the property holds, value < 0 only if it is violated. Infinite where no
/// change of this quantity alone could have changed the verdict.
struct Margin {
  double value = 0.0;
  std::string unit;
  std::uint64_t scan = 0;         ///< scan for which the property was closest to failing
  std::uint64_t origin_scan = 0;  ///< scan since which the deciding part had the deciding value
  Span origin;                    ///< the deciding part of the text
  /// The value is a bound: the run ended (or the verdict fell) before it could be known exactly.
  bool bound = false;
};

struct Verdict {
  Outcome outcome = Outcome::undecided;
  /// It holds, but what it speaks of never happened: an `implies` whose condition, or an `after`
  /// whose event, did not come.
  bool vacuous = false;
  std::vector<Margin> margins;  ///< one for each of Property::margin_units()
};

/// One line for people: outcome, margin with unit, instant, deciding part of the text.
[[nodiscard]] std::string describe(const Property& property, const Verdict& verdict);

/// Monitors many properties on one run, a scan at a time, sharing what they have in common.
///
/// A copy continues on its own from where the original stood. Memory of an operator is bounded by
/// its time window, never by the length of the run.
class MonitorSet {
 public:
  /// Throws std::invalid_argument if the properties differ in scan period or row width.
  explicit MonitorSet(std::span<const Property> properties);
  MonitorSet(const MonitorSet&);
  MonitorSet(MonitorSet&&) noexcept;
  MonitorSet& operator=(const MonitorSet&);
  MonitorSet& operator=(MonitorSet&&) noexcept;
  ~MonitorSet();

  /// Takes the row of the next scan: as many values as the table has signals, else throws
  /// std::invalid_argument. Returns true if a property has become certainly violated in this scan.
  bool step(std::span<const double> row);

  /// Whether the property is already decided, whatever follows. Nothing while it is open.
  [[nodiscard]] std::optional<Outcome> standing(std::size_t property) const;

  /// The verdicts if the run ended now, in the order of the properties. The monitor is unchanged
  /// and may go on.
  [[nodiscard]] std::vector<Verdict> finish() const;

  [[nodiscard]] std::uint64_t scans() const;
  [[nodiscard]] std::size_t size() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

/// Monitors one property.
class Monitor {
 public:
  explicit Monitor(const Property& property) : set_(std::span(&property, 1)) {}

  bool step(std::span<const double> row) { return set_.step(row); }
  [[nodiscard]] std::optional<Outcome> standing() const { return set_.standing(0); }
  [[nodiscard]] Verdict finish() const { return set_.finish().front(); }

 private:
  MonitorSet set_;
};

}  // namespace ovenproof::properties
