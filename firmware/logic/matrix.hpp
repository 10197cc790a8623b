#pragma once
#include <array>

#include "firmware/logic/causes.hpp"
#include "firmware/logic/facts.hpp"
#include "firmware/logic/options.hpp"
#include "firmware/logic/outputs.hpp"
#include "firmware/logic/phase.hpp"

/// The cause-and-effect matrix: causes down, effects across, in the manner of IEC 62881.
/// It has the last word: an output is energised only if the sequence demands it and no row of
/// this table withholds it.
namespace ovenproof::logic {

enum class Kind : std::uint8_t {
  trip,    ///< ends the cycle; latched until reset is pressed anew with no cause present, of
           ///< those that are looked at when tripped
  inhibit  ///< withholds its outputs while it lasts
};

/// What a condition may look at besides facts: the logic's own past.
struct Situation {
  Phase phase = Phase::tripped;  ///< of the sequence when the scan began
  OutputSet energised;           ///< by the scan before
  bool gate_met = false;
  std::uint8_t repurges = 0;
  Options options;
};

/// Which machines have the row.
enum class Needs : std::uint8_t { nothing, oxygen_monitor, jacket_cooling };

/// When a cause is present: while a fact has a value, and the outputs of the scan before were on
/// or off as said. The fact is read last, since an explorer branches on every fact that is read.
/// What does not fit this form is a function.
struct Condition {
  Fact fact = Fact::count;  ///< count: see `otherwise`
  bool is = true;           ///< value of the fact at which the cause is present
  OutputSet while_on{};     ///< all of these were energised
  OutputSet while_off{};    ///< none of these was
  bool (*otherwise)(const Facts&, const Situation&) = nullptr;  ///< instead of the fact

  [[nodiscard]] constexpr bool outputs_fit(OutputSet energised) const {
    return energised.covers(while_on) && (energised & while_off).empty();
  }
  /// The rest of it, to be asked where the outputs fit.
  [[nodiscard]] bool holds(const Facts& facts, const Situation& situation) const {
    return fact != Fact::count ? facts(fact) == is : otherwise(facts, situation);
  }
  [[nodiscard]] bool present(const Facts& facts, const Situation& situation) const {
    return outputs_fit(situation.energised) && holds(facts, situation);
  }
};

struct Row {
  Cause cause;
  const char* key;   ///< name in files, e.g. "gas_supply_lost"
  const char* text;  ///< what the operator reads
  Kind kind;
  Needs needs;
  PhaseSet phases;  ///< in which the condition is looked at
  Condition condition;
  Timer delay;  ///< the condition must last for this timer; Timer::count: acts at once
  OutputSet withholds;
};

/// Row n is that of Cause n; all trips stand before all inhibits.
extern const std::array<Row, cause_count> matrix;

/// First inhibit: rows below are trips, from here on inhibits.
inline constexpr std::size_t first_inhibit = static_cast<std::size_t>(Cause::door_not_closed);

inline const Row& row_of(Cause cause) { return matrix[static_cast<std::size_t>(cause)]; }

/// Set of rows, bit n for Cause n.
using RowSet = std::uint64_t;
static_assert(cause_count <= 64);
inline constexpr RowSet trip_rows = (RowSet{1} << first_inhibit) - 1;

/// The rows that the machine has and whose conditions are looked at in this phase, with these
/// outputs energised by the scan before.
RowSet rows_in(Phase phase, OutputSet energised, const Options& options);

}  // namespace ovenproof::logic
