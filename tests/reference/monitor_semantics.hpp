#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

/// A second, slow reading of the property language: every operator by its definition, as a loop
/// over all scans of a stored run. It shares no code with sim/properties.
///
/// Sources are from memory: papers on signal temporal logic, titles below: check against the
/// source. The operators and their truth, O. Maler and D. Nickovic, "Monitoring Temporal Properties
/// of Continuous Signals", FORMATS 2004; the distance, A. Donze and O. Maler, "Robust Satisfaction
/// of Temporal Logic over Real-Valued Signals", FORMATS 2010; bounds on a run that is cut short, J.
/// Deshmukh et al., "Robust Online Monitoring of Signal Temporal Logic", RV 2015.
namespace ovenproof::properties::reference {

/// A run: booleans p, q, r; a state s with labels a, b, c; numbers x, y in ppm and z in Pa.
struct Scan {
  bool p = false, q = false, r = false;
  int s = 0;
  double x = 0.0, y = 0.0, z = 0.0;
};
using Run = std::vector<Scan>;

enum class Kind {
  // conditions
  boolean,   ///< number: 0 p, 1 q, 2 r
  state_is,  ///< number: label; other: in its complement
  compare,   ///< number: left 0 x, 1 y, 2 z, 3 x - y, 4 abs(x) + y, 5 min(x, y); relation; limit
  changes,   ///< number: 0 p, 1 s, 2 x
  negation,
  conjunction,
  disjunction,
  implication,
  rises,
  falls,
  once,
  historically,
  since,
  held_for,
  always,
  eventually,
  until,
  // statements
  at_start,
  at_end,
  after,
  never,
};

struct Formula {
  Kind kind = Kind::boolean;
  int number = 0;
  int relation = 0;  ///< index into < <= > >= = !=
  double limit = 0.0;
  bool bounded = false;
  int from = 0;  ///< scans
  int to = 0;
  std::vector<Formula> parts;
};

/// The text of the formula in the property language, for a scan of 10 ms, fully in parentheses.
std::string text_of(const Formula& formula);

/// In which quantity distances are told; elsewhere true and false are infinitely far apart.
enum class Quantity { ppm, Pa, ms };

/// A distance with the truth that tells 0 from 0.
using Distance = std::pair<double, bool>;
inline constexpr double infinity = std::numeric_limits<double>::infinity();

/// What the distance is at least and at most, whatever follows the end of the run.
struct Bounds {
  Distance low;
  Distance high;
};

/// Bounds of a condition at scan t, which may lie beyond the run.
Bounds evaluate(const Formula& formula, const Run& run, int t, Quantity quantity);

/// Bounds of a statement on the whole run.
Bounds judge(const Formula& formula, const Run& run, Quantity quantity);

}  // namespace ovenproof::properties::reference
