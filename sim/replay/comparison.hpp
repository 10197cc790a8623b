#pragma once
#include <array>
#include <cstdint>
#include <deque>
#include <optional>
#include <vector>

#include "firmware/logic/causes.hpp"
#include "firmware/logic/phase.hpp"
#include "hal-mock/terminals.hpp"
#include "sim/replay/signal.hpp"

namespace ovenproof::replay {

/// An output that was compared.
struct ComparedOutput {
  Signal signal;
  std::size_t column = 0;  ///< of the layout
};

/// A time during which the firmware and the recording say different things of one output.
struct Difference {
  Signal output;
  std::int64_t from_ms = 0;  ///< first row that differs
  std::int64_t to_ms = 0;    ///< first row that agrees again, or the last that was judged
  bool ended = false;        ///< they agreed again
  int line = 0;              ///< of the first row
  double firmware = 0.0;     ///< what the firmware did at that row
  double recorded = 0.0;
  logic::Phase phase{};      ///< of the firmware then
  logic::Cause first_out{};  ///< what had tripped it
};

/// How a comparison tolerates what sampling does.
struct Tolerance {
  std::int64_t ms = 0;  ///< how much earlier or later a change may come
  double drive = 0.05;  ///< how far the heater drive may be off, share of full power
};

/// Compares outputs row by row with what the firmware did within the tolerance around the row. A
/// row agrees if the output had the recorded value at any time in that window, so that a change
/// between two rows, or one scan earlier or later, is no difference.
///
/// Before it counts differences it waits until firmware and recording are in step: a firmware that
/// has just been started cannot know what the recorded one was in the middle of.
class Comparison {
 public:
  Comparison(std::vector<ComparedOutput> outputs, Tolerance tolerance);

  /// A new start of the firmware. `known`: the recorded controller started at the same moment, so
  /// they are in step.
  void start(bool known);
  /// After each scan: what the firmware drives.
  void observe(std::int64_t ms, const mock::FieldOutputs& outputs, logic::Phase phase,
               logic::Cause first_out);
  /// The row that belongs to the scan just observed; values by column of the layout.
  void sample(std::int64_t ms, int line, const std::vector<double>& values);
  /// No more rows until the next start: what is open ends here.
  void stop();

  /// Differences that have ended since the last call.
  std::vector<Difference> take_ended();
  /// When the rows began to be compared, since the last start.
  [[nodiscard]] std::optional<std::int64_t> in_step_since() const { return in_step_since_; }
  [[nodiscard]] std::uint64_t rows_compared() const { return rows_compared_; }
  /// For each output, rows since the last start in which it did not agree.
  [[nodiscard]] const std::vector<std::uint64_t>& disagreeing() const { return disagreeing_; }
  [[nodiscard]] const std::vector<ComparedOutput>& outputs() const { return outputs_; }

 private:
  struct Track {
    std::array<std::int64_t, 2> last_at{};  ///< when a coil was last off, and on
    std::optional<Difference> open;
  };
  struct Pending {
    std::int64_t ms = 0;
    int line = 0;
    std::vector<double> recorded;
    std::vector<double> firmware;
    logic::Phase phase{};
    logic::Cause first_out{};
  };
  struct Drive {
    std::int64_t ms;
    double share;
  };

  [[nodiscard]] bool explained(std::size_t output, const Pending& row) const;
  /// Judges the rows whose window ends at `ms` or before.
  void judge_complete(std::int64_t ms);
  void judge(const Pending& row);
  void wait_for_step(const Pending& row, bool all_agree);
  [[nodiscard]] double driven(const Signal& signal) const;

  std::vector<ComparedOutput> outputs_;
  Tolerance tolerance_;
  bool lamp_recorded_ = false;
  std::vector<Track> tracks_;
  std::deque<Pending> pending_;
  std::deque<Drive> drive_;
  mock::FieldOutputs driven_;
  logic::Phase phase_{};
  logic::Cause first_out_{};
  std::optional<std::int64_t> agree_since_;
  std::uint64_t agreeing_rows_ = 0;  ///< since then
  std::optional<std::int64_t> in_step_since_;
  std::uint64_t rows_compared_ = 0;
  std::vector<std::uint64_t> disagreeing_;
  std::int64_t last_judged_ms_ = 0;
  std::vector<Difference> ended_;
};

}  // namespace ovenproof::replay
