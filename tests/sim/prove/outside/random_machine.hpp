#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "firmware/logic/facts.hpp"
#include "substitute_logic.hpp"

/// Small boolean machines and properties of them, drawn at random, in a form that both the explorer
/// and a solver can be given.
namespace ovenproof::prove::test {

/// The same numbers everywhere.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15ULL + 1) {}
  /// A number below `count`.
  unsigned operator()(unsigned count);

 private:
  std::uint64_t state_;
};

enum class Op : std::uint8_t {
  state,  ///< a bit of the machine; in a property: after the scan
  fact,
  negation,
  conjunction,
  disjunction,
  implication,  ///< of properties alone, as are those below
  once,
  historically,
  since,
  rises,
  at_start  ///< outermost alone
};

/// A tree; operands stand before what uses them.
struct Node {
  Op op;
  unsigned index = 0;  ///< of the bit or the fact
  unsigned left = 0;   ///< index of a node
  unsigned right = 0;
};
using Tree = std::vector<Node>;  ///< the last node is the root

struct RandomMachine {
  unsigned bits = 0;
  std::uint32_t initial = 0;
  bool split = false;              ///< a scan is taken in two steps, which comes to the same
  std::vector<logic::Fact> facts;  ///< free
  std::vector<Tree> next;          ///< of each bit
  Tree claim;                      ///< must hold in every scan

  [[nodiscard]] Machine machine() const;
  /// "always (...)" or "at_start (...)", in the property language.
  [[nodiscard]] std::string property() const;
};

[[nodiscard]] RandomMachine random_machine(std::uint64_t seed);

}  // namespace ovenproof::prove::test
