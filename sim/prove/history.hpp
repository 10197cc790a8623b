#pragma once
#include <array>
#include <bitset>
#include <cstdint>
#include <optional>
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

/// A set of obligations, by number.
using ObligationSet = std::bitset<1024>;

/// A property is proved piece by piece: `always (A and B)` is `always A` and `always B`. An
/// obligation is one such piece with what must happen for it to say anything: the premise A of
/// `A implies B`; of `never (A and B)` each of A and B.
struct Obligation {
  std::size_t property = 0;
  std::string premise;  ///< as it is written in the property; empty: it is about every scan
};

class Histories {
 public:
  /// Properties that cannot be proved without a clock or by looking at the past alone are not
  /// taken: see provable(). All must have been compiled against signal_table(). Throws
  /// std::invalid_argument if they have more obligations than an ObligationSet holds, or need more
  /// than 64 bits together.
  Histories(std::vector<properties::Property> properties, const logic::Options& options);

  struct Verdicts {
    ObligationSet violated;  ///< those that are false in this scan
    ObligationSet premises;  ///< those whose premise holds in this scan
  };

  /// What is settled of a scan before any fact of it is known, and what hangs on facts. Sets of
  /// facts may hold `which_first_out`.
  struct Outlook {
    std::uint64_t bits = 0;            ///< of the memory after the scan, as far as settled
    Verdicts verdicts;                 ///< of the obligations that are settled
    std::uint64_t open_operators = 0;  ///< bits of the memory that are not settled
    ObligationSet open_obligations;
    FactSet memory_facts = 0;      ///< on which the memory after the scan can hang
    FactSet keep = 0;              ///< of these, those that the next scan can ask of this one
    std::vector<FactSet> facts{};  ///< on which obligation n can hang, if it is open
  };

  /// The memory before the first scan.
  [[nodiscard]] std::uint64_t at_birth() const { return at_birth_; }

  /// One scan as the properties see it.
  struct View {
    const ToldValues& before;  ///< told by the scan before (of no use in the first)
    const ToldValues& now;
    std::uint64_t bits;  ///< the memory before the scan
  };

  /// `first_outs`: those that the first-out can be, bit n for Cause n; 0: the one that is told.
  /// `met`: premises that held already. Obligations that are about nothing else are left out.
  void look_ahead(const View& view, Outlook& outlook, std::uint64_t first_outs = 0,
                  const ObligationSet& met = {}) const;

  /// The memory after a scan of which look_ahead() gave the outlook, but for the facts kept. What
  /// is open is settled by asking the adversary, who may already know some of the facts.
  [[nodiscard]] std::uint64_t remember(const View& view, const Outlook& outlook,
                                       Adversary& facts) const;

  struct Verdict {
    bool premise = false;
    bool holds = false;
  };
  /// One obligation in such a scan, likewise.
  [[nodiscard]] Verdict judge(std::size_t obligation, const View& view, const Outlook& outlook,
                              Adversary& facts) const;

  /// Everything an obligation's value can depend on, apart from this scan's facts and timers.
  struct Footprint {
    std::uint32_t told = 0;       ///< bit n for Told n: of the scan or the one before
    std::uint64_t operators = 0;  ///< bits of the memory
    FactSet before = 0;           ///< of the scan before
  };
  [[nodiscard]] const Footprint& footprint(std::size_t obligation) const {
    return roots_[obligation].footprint;
  }
  /// The same for what the memory becomes, but for the facts kept.
  [[nodiscard]] const Footprint& memory_footprint() const { return memory_footprint_; }

  /// Bits of the memory for what of a scan's facts is worth keeping, and is known.
  [[nodiscard]] std::uint64_t kept_bits(const Reading& reading, FactSet worth) const;
  /// All bits that kept_bits() can set.
  [[nodiscard]] std::uint64_t kept_mask() const {
    return kept_bits({~FactSet{0}, ~FactSet{0}}, kept_);
  }
  /// What the memory knows of the facts of the scan it was left by, to begin the adversary with.
  [[nodiscard]] Reading kept_reading(std::uint64_t bits) const;

  /// Whether a property tells first-outs apart that representative() does not, but in the scan in
  /// which one comes.
  [[nodiscard]] bool tell_first_outs_apart() const { return tell_first_outs_apart_; }
  [[nodiscard]] unsigned width() const { return width_; }
  /// Obligations of all properties, those of one together.
  [[nodiscard]] std::size_t size() const { return roots_.size(); }
  /// It can be violated; if not, it is only about a premise that must hold at some time.
  [[nodiscard]] bool concludes(std::size_t obligation) const {
    return roots_[obligation].conclusion.has_value();
  }
  [[nodiscard]] std::size_t property_count() const { return property_count_; }
  [[nodiscard]] const Obligation& obligation(std::size_t number) const {
    return roots_[number].obligation;
  }

 private:
  enum class Op : std::uint8_t {
    constant,
    fact,
    told,
    timer,
    changed_told,
    negation,
    conjunction,
    disjunction,
    implication,
    once,
    historically,
    since,
    rises,
    at_start
  };
  struct Node {
    Op op = Op::constant;
    bool on_before = false;   ///< can be evaluated on the scan before: no operator of time below
    std::uint8_t signal = 0;  ///< fact, told or timer
    std::uint8_t bit = 0;     ///< of the memory
    std::uint64_t values = 0;
    std::vector<std::uint32_t> operands;
  };
  struct Scan;
  static constexpr std::uint64_t begun_bit = 1;  ///< of the memory: some scan was before
  static constexpr std::uint8_t no_bit = 0;      ///< that one is taken

  std::uint32_t place(Node node);
  std::uint32_t combine(Op op, std::vector<std::uint32_t> operands);
  std::uint32_t add(const properties::Formula& formula, std::uint32_t condition,
                    const logic::Options& options);
  struct Splitting;
  void split(const Splitting& splitting, std::uint32_t condition, bool negated,
             const std::vector<std::uint32_t>& premises);
  std::uint8_t take_bit();
  void look_for_first_outs(const properties::Formula& formula, std::uint32_t condition);
  [[nodiscard]] FactSet facts_below(std::uint32_t node) const;
  void add_footprint(std::uint32_t node, Footprint& footprint) const;
  enum class Truth : std::uint8_t { no, yes, open };
  struct Weighing;
  [[nodiscard]] Truth weigh(std::uint32_t node, Weighing& w) const;
  [[nodiscard]] Truth weigh_before(std::uint32_t node, Weighing& w) const;
  [[nodiscard]] Truth weigh_operator(const Node& node, Weighing& w) const;
  [[nodiscard]] bool now(const Node& node, Scan& scan) const;
  [[nodiscard]] bool before(const Node& node, Scan& scan) const;
  [[nodiscard]] bool operator_now(const Node& node, Scan& scan) const;
  void settle(std::uint64_t operators, const Outlook& outlook, Scan& scan) const;

  std::vector<Node> nodes_;
  std::vector<std::uint32_t> edges_;  ///< nodes that ask the scan before, and have no bit
  std::vector<std::uint32_t> timed_;  ///< nodes with a bit, operands first
  struct Root {
    Obligation obligation;
    std::optional<std::uint32_t> premise;
    std::optional<std::uint32_t> conclusion;  ///< nothing: another obligation has it
    Footprint footprint;
  };
  std::vector<Root> roots_;
  std::size_t property_count_ = 0;
  Footprint memory_footprint_;
  FactSet kept_ = 0;  ///< facts whose value in the scan before can matter
  bool tell_first_outs_apart_ = false;
  std::uint64_t at_birth_ = 0;
  unsigned width_ = 0;
};

/// Why the property cannot be proved by exploration, with its place; empty if it can.
[[nodiscard]] std::vector<properties::Diagnostic> provable(const properties::Property& property);

}  // namespace ovenproof::prove
