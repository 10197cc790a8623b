#pragma once
#include <array>
#include <bitset>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "firmware/logic/logic.hpp"
#include "sim/prove/adversary.hpp"

/// Which parts of the logic an exploration has seen at work. What is never at work is dead: no test
/// can reach it, and no interlock may rely on it.
namespace ovenproof::prove {

enum class PartKind : std::uint8_t {
  state,       ///< of a region, entered
  transition,  ///< row of the state machine, taken
  row,         ///< of the matrix, acting: a trip as the first-out, an inhibit on a demanded output
  cell         ///< of the matrix, taking an output away that was on or demanded
};
/// In files, such as "transition".
[[nodiscard]] const char* name_of(PartKind kind);

/// One part of the logic.
struct Part {
  PartKind kind;
  std::string name;            ///< "unloading -> standby by the door", "limiter_tripped / fan"
  bool fitted = true;          ///< the machine has what it is for
  std::size_t index = 0;       ///< among states and transitions, or the cause
  std::size_t output = 0;      ///< of a cell
  std::string idle_because{};  ///< why it need not be at work on this machine; empty: it must

  // Of a transition.
  std::string from{};   ///< name of the state part
  std::string to{};     ///< name of the state part
  std::string guard{};  ///< of its row in the state machine; empty: only one row leads this way
};

/// All parts, in a fixed order, for machines with these options.
[[nodiscard]] std::vector<Part> parts(const logic::Options& options);

/// A scan as coverage looks at it.
struct Glimpse {
  const logic::LogicState& before;
  const logic::LogicState& after;
  const Reading& reading;
  logic::Cause tripped_by;  ///< the first-out, if it came in this scan and is known
};

class Coverage {
 public:
  Coverage() = default;
  explicit Coverage(const logic::Options& options);

  void note_birth(const logic::LogicState& born);
  /// What is known of all scans from `before` to `after`.
  struct Span {
    const logic::LogicState& before;
    const logic::LogicState& after;
    std::uint64_t first_outs;            ///< that can come, bit n for Cause n
    FactSet can_be_true = ~FactSet{0};   ///< in some of them
    FactSet can_be_false = ~FactSet{0};  ///< in some of them
  };
  /// What these scans can show that was not seen yet: the facts on which that hangs, with
  /// `which_first_out` for a first-out that comes; nothing if they can show nothing.
  [[nodiscard]] std::optional<FactSet> hangs_on(const Span& scans) const;
  /// Notes what a scan shows. Its reading must hold the facts on which that hangs, as far as they
  /// were looked at.
  void note(const Glimpse& scan);
  void merge(const Coverage& other);

  [[nodiscard]] bool seen(const Part& part) const;

  static constexpr std::size_t most_parts = 128;

 private:
  std::bitset<most_parts> machine_;  ///< states and transitions
  std::bitset<logic::cause_count> rows_;
  std::array<logic::OutputSet, logic::cause_count> cells_{};
  std::vector<std::size_t> open_;  ///< states and transitions not seen yet
  logic::Options options_;
};

}  // namespace ovenproof::prove
