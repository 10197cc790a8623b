#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "sim/properties/property.hpp"
#include "sim/prove/adversary.hpp"
#include "sim/prove/signals.hpp"

/// Properties over the past as bits that are part of the explored state.
///
/// The monitors of sim/properties keep instants, margins and queues, which no state can hold; what
/// stands here decides the same truth from one bit for each operator. A fact is looked at only when
/// the truth of something hangs on it.
namespace ovenproof::prove {

class Histories {
 public:
  /// Properties that cannot be proved without a clock or by looking at the past alone are not
  /// taken: see provable(). All must have been compiled against signal_table(). Throws
  /// std::invalid_argument if they need more than 64 bits together.
  Histories(std::vector<properties::Property> properties, const logic::Options& options);

  struct Verdicts {
    std::uint64_t violated = 0;  ///< bit n: property n is false in this scan
    std::uint64_t premises = 0;  ///< bit n: what property n speaks of happened in this scan
  };

  /// What is settled of a scan before any fact of it is known, and what hangs on facts.
  struct Outlook {
    std::uint64_t bits = 0;  ///< of the memory after the scan
    Verdicts verdicts;
    std::vector<std::uint32_t> open_operators;
    std::vector<std::uint32_t> open_properties;
    FactBits facts = 0;  ///< those it can hang on
    FactBits keep = 0;   ///< those that the scan after this one can ask of this one
  };

  /// The memory before the first scan.
  [[nodiscard]] std::uint64_t at_birth() const { return at_birth_; }

  /// `before`: told by the scan before (of no use in the first); `bits`: the memory.
  void look_ahead(const ToldValues& before, const ToldValues& now, std::uint64_t bits,
                  Outlook& outlook) const;

  struct Step {
    std::uint64_t bits = 0;  ///< the memory after the scan
    Verdicts verdicts;
  };

  /// One scan, of which look_ahead() with the same arguments gave the outlook. What is open is
  /// settled by asking the adversary.
  Step step(const ToldValues& before, const ToldValues& now, std::uint64_t bits,
            const Outlook& outlook, Adversary& facts) const;

  /// What the memory knows of the facts of the scan it was left by, to begin the adversary with.
  [[nodiscard]] Reading kept_reading(std::uint64_t bits) const;

  /// Whether a property tells first-outs apart that representative() does not, but in the scan in
  /// which one comes.
  [[nodiscard]] bool tell_first_outs_apart() const { return tell_first_outs_apart_; }
  [[nodiscard]] unsigned width() const { return width_; }
  [[nodiscard]] std::size_t size() const { return roots_.size(); }

 private:
  enum class Op : std::uint8_t {
    constant,
    fact,
    told,
    changed_told,
    negation,
    conjunction,
    disjunction,
    implication,
    once,
    historically,
    since,
    rises,
    initially
  };
  struct Node {
    Op op = Op::constant;
    bool on_before = false;   ///< can be evaluated on the scan before: no operator of time below
    std::uint8_t signal = 0;  ///< fact or told
    std::uint8_t bit = 0;     ///< of the memory
    std::uint64_t values = 0;
    std::vector<std::uint32_t> operands;
  };
  struct Scan;

  std::uint32_t add(const properties::Formula& formula, std::uint32_t condition,
                    const logic::Options& options);
  std::uint8_t take_bit();
  void look_for_first_outs(const properties::Formula& formula, std::uint32_t condition);
  void keep_facts_below(std::uint32_t node);
  enum class Truth : std::uint8_t { no, yes, open };
  struct Weighing;
  [[nodiscard]] Truth weigh(std::uint32_t node, Weighing& w) const;
  [[nodiscard]] Truth weigh_before(std::uint32_t node, Weighing& w) const;
  [[nodiscard]] Truth weigh_operator(const Node& node, Weighing& w) const;
  [[nodiscard]] bool now(const Node& node, Scan& scan) const;
  [[nodiscard]] bool before(const Node& node, Scan& scan) const;
  [[nodiscard]] bool operator_now(const Node& node, Scan& scan) const;
  [[nodiscard]] std::uint64_t kept_bits(const Reading& reading, FactBits worth) const;

  std::vector<Node> nodes_;
  std::vector<std::uint32_t> edges_;  ///< nodes that ask the scan before, and have no bit
  std::vector<std::uint32_t> timed_;  ///< nodes with a bit, operands first
  struct Root {
    std::uint32_t claim;
    std::uint32_t premise;  ///< of the implication; the claim itself if it is none
    bool has_premise;
  };
  std::vector<Root> roots_;
  FactBits kept_ = 0;  ///< facts whose value in the scan before can matter
  bool tell_first_outs_apart_ = false;
  std::uint64_t at_birth_ = 0;
  unsigned width_ = 0;
};

/// Why the property cannot be proved by exploration, with its place; empty if it can.
[[nodiscard]] std::vector<properties::Diagnostic> provable(const properties::Property& property);

}  // namespace ovenproof::prove
