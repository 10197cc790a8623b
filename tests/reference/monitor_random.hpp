#pragma once

#include <cstdint>
#include <rapidcheck.h>
#include <utility>
#include <vector>

#include "monitor_semantics.hpp"
#include "sim/properties/monitor.hpp"

/// Random formulas and runs, decoded from a tape of random bytes: a shorter tape, or one with
/// smaller bytes, makes a simpler case, so counterexamples shrink.
namespace ovenproof::properties::reference {

class Tape {
 public:
  explicit Tape(std::vector<std::uint8_t> bytes) : bytes_(std::move(bytes)) {}

  int longest = 6;  ///< bounds are shorter than this, in scans

  /// A choice from 0 to `count` - 1; 0 when the tape has run out.
  int choose(int count) { return next_ < bytes_.size() ? bytes_[next_++] % count : 0; }

 private:
  std::vector<std::uint8_t> bytes_;
  std::size_t next_ = 0;
};

inline Formula random_condition(Tape& tape, int depth) {
  Formula f;
  const int leaf = tape.choose(6);
  if (depth == 0 || leaf == 0) {
    switch (tape.choose(7)) {
      case 0:
        f.kind = Kind::boolean;
        break;
      case 1:
        f.kind = Kind::state_is;
        break;
      case 2:
        f.kind = Kind::changes;
        break;
      default:
        f.kind = Kind::compare;
        break;
    }
    f.number = tape.choose(f.kind == Kind::compare ? 6 : 3);
    f.relation = tape.choose(f.kind == Kind::compare ? 6 : 2);
    f.limit = f.kind == Kind::compare ? tape.choose(9) / 2.0 : 0.0;
    return f;
  }
  constexpr Kind kinds[] = {
      Kind::negation, Kind::conjunction, Kind::disjunction,  Kind::implication, Kind::rises,
      Kind::falls,    Kind::once,        Kind::historically, Kind::since,       Kind::held_for,
      Kind::always,   Kind::eventually,  Kind::until};
  f.kind = kinds[tape.choose(static_cast<int>(std::size(kinds)))];
  const bool future = f.kind >= Kind::always && f.kind <= Kind::until;
  const bool past = f.kind >= Kind::once && f.kind <= Kind::since;
  f.bounded = future || (past && tape.choose(3) != 0);
  if (f.bounded && tape.choose(2) == 1) f.from = tape.choose(tape.longest - 2);
  if (f.bounded || f.kind == Kind::held_for) f.to = f.from + tape.choose(tape.longest);
  std::size_t parts = 1;
  if (f.kind == Kind::conjunction || f.kind == Kind::disjunction) {
    parts = 2 + static_cast<std::size_t>(tape.choose(2));
  }
  if (f.kind == Kind::implication || f.kind == Kind::since || f.kind == Kind::until) parts = 2;
  for (std::size_t i = 0; i < parts; ++i) f.parts.push_back(random_condition(tape, depth - 1));
  return f;
}

inline Formula random_statement(Tape& tape, int depth) {
  Formula f;
  constexpr Kind kinds[] = {Kind::always,     Kind::never,       Kind::eventually,  Kind::until,
                            Kind::after,      Kind::after,       Kind::always,      Kind::at_start,
                            Kind::at_end,     Kind::conjunction, Kind::disjunction, Kind::negation,
                            Kind::implication};
  f.kind = kinds[tape.choose(static_cast<int>(std::size(kinds)))];
  if (f.kind == Kind::implication) {
    // The form whose lateness is timed without end.
    f.kind = Kind::always;
    Formula goal;
    goal.kind = Kind::eventually;
    goal.bounded = true;
    goal.to = tape.choose(6);
    goal.parts = {random_condition(tape, depth - 1)};
    Formula body;
    body.kind = Kind::implication;
    body.parts = {random_condition(tape, depth - 1), goal};
    f.parts = {body};
    return f;
  }
  if (f.kind >= Kind::negation && f.kind <= Kind::disjunction) {
    f.parts.push_back(random_statement(tape, depth - 1));
    if (f.kind != Kind::negation) f.parts.push_back(random_statement(tape, depth - 1));
    return f;
  }
  const bool may_be_bounded =
      f.kind == Kind::always || f.kind == Kind::eventually || f.kind == Kind::until;
  f.bounded = may_be_bounded && tape.choose(4) == 3;
  if (f.bounded) f.from = tape.choose(3);
  if (f.bounded || f.kind == Kind::after) f.to = f.from + tape.choose(tape.longest);
  f.parts.push_back(random_condition(tape, depth));
  if (f.kind == Kind::until || f.kind == Kind::after) {
    f.parts.push_back(random_condition(tape, depth));
  }
  return f;
}

/// A run whose signals often stay as they are, as those of a plant do.
inline Run random_run(Tape& tape, int longest = 24) {
  Run run(1 + static_cast<std::size_t>(tape.choose(longest)));
  const int restless = 1 + tape.choose(6);
  Scan scan;
  for (Scan& now : run) {
    const auto changes = [&] { return tape.choose(restless) == 0; };
    if (changes()) scan.p = tape.choose(2) == 1;
    if (changes()) scan.q = tape.choose(2) == 1;
    if (changes()) scan.r = tape.choose(2) == 1;
    if (changes()) scan.s = tape.choose(3);
    if (changes()) scan.x = tape.choose(19) / 2.0 - 4.5;
    if (changes()) scan.y = tape.choose(9) / 2.0;
    if (changes()) scan.z = tape.choose(9) / 2.0;
    now = scan;
  }
  return run;
}

inline SignalTable random_table() {
  SignalTable table;
  for (const char* name : {"p", "q", "r"}) table.add_boolean(name);
  table.add_state("s", {"a", "b", "c"});
  table.add_number("x", "ppm");
  table.add_number("y", "ppm");
  table.add_number("z", "Pa");
  return table;
}

inline std::vector<double> row_of(const Scan& scan) {
  return {double(scan.p), double(scan.q), double(scan.r), double(scan.s), scan.x, scan.y, scan.z};
}

inline Tape random_tape(int bytes) {
  return Tape(*rc::gen::resize(
      100, rc::gen::container<std::vector<std::uint8_t>>(static_cast<std::size_t>(bytes),
                                                         rc::gen::arbitrary<std::uint8_t>())));
}

/// A quantity's unit if the formula may be judged in it, as `margin in UNIT`.
inline bool speaks_of(const Formula& f, Quantity quantity) {
  if (quantity == Quantity::ms) return true;
  if (f.kind == Kind::compare) return (f.number == 2) == (quantity == Quantity::Pa);
  for (const Formula& part : f.parts) {
    if (speaks_of(part, quantity)) return true;
  }
  return false;
}

}  // namespace ovenproof::properties::reference
