#pragma once
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "firmware/hal/board.hpp"
#include "hal-mock/input_filter.hpp"
#include "hal-mock/non_volatile_store.hpp"
#include "hal-mock/terminals.hpp"
#include "hal-mock/virtual_clock.hpp"
#include "hal-mock/wiring.hpp"

namespace ovenproof::mock {

/// How a board is built.
struct BoardOptions {
  std::uint32_t conversion_period_ms = 100;  ///< time for all analogue channels, 1..60000
  std::uint32_t input_filter_ms = 3;         ///< delay of contact inputs, 0..1000
  std::uint32_t watchdog_timeout_ms = 200;   ///< 1..60000
  std::uint32_t clock_at_start_ms = 0;       ///< reading when the processor starts
  friend bool operator==(const BoardOptions&, const BoardOptions&) = default;
};

/// What the controller did that the seam forbids, counted.
struct Violations {
  std::uint32_t unknown_coils = 0;      ///< writes with bits beyond the last output; bits ignored
  std::uint32_t heater_over_range = 0;  ///< writes of more than 1000 permille; taken as 0
  std::uint32_t store_range = 0;        ///< store accesses outside the store; refused
  [[nodiscard]] std::uint32_t total() const {
    return unknown_coils + heater_over_range + store_range;
  }
  friend bool operator==(const Violations&, const Violations&) = default;
};

/// Whether a fault was taken, and if not, why.
struct Injected {
  std::optional<FaultId> id;
  std::string_view refusal;  ///< empty if taken
};

/// A board in software: models `hal::Board` towards the controller, and has wires towards the
/// field. A plain value: a copy goes on bit for bit as the original would.
///
/// Inputs:  field -> wiring -> terminal -> filter or converter -> image.
/// Outputs: image -> output stage -> wiring -> field.
///
/// Time passes only in `advance`, in steps of 1 ms: however a span is cut into calls, the result is
/// the same. What the field presents holds until it presents something else and reaches the
/// terminals at the next ms; what the controller writes reaches the field at once.
///
/// A new board has no power. Present the field, then call `power_on()`.
class Board {
 public:
  /// \throws std::invalid_argument when an option is out of range
  explicit Board(const BoardOptions& options = {});

  // ---- towards the controller: hal::Board. Without power, or while a restart is awaited, no
  // processor runs: calls are ignored, counted in `ignored_calls`, and reads give zero or false.
  /// Contacts as filtered, analogue counts as last converted.
  hal::InputImage read_inputs();
  /// Coil bits beyond the last output and a heater drive above 1000 are refused, the latter as 0.
  void write_outputs(const hal::OutputImage& outputs);
  Milliseconds now();
  bool store_read(std::size_t offset, std::span<std::byte> into);
  /// A write cut by `NonVolatileStore::cut_power_after` switches the power off within it.
  bool store_write(std::size_t offset, std::span<const std::byte> from);
  void kick_watchdog();
  hal::ResetCause reset_cause();

  // ---- towards the field
  /// The field as it is from now on.
  /// \throws std::invalid_argument when a signal is NaN: whatever made it is broken
  void present(const FieldInputs& field);
  [[nodiscard]] const FieldOutputs& field_outputs() const { return driven_; }
  /// The process image as the controller would read it now; without power, all zero.
  [[nodiscard]] hal::InputImage input_image() const {
    hal::InputImage image = image_;
    image.contacts = powered_ ? filter_.image() : 0;
    return image;
  }

  // ---- time and power
  /// Lets `ms` pass.
  void advance(std::uint32_t ms);
  /// Time since the board was made.
  [[nodiscard]] VirtualMs virtual_ms() const { return t_; }
  [[nodiscard]] bool powered() const { return powered_; }
  /// Everything is de-energised at once, the wires to the field included, whatever their faults.
  void power_off();
  /// The processor starts, reset cause `power_up`, outputs de-energised until first written. The
  /// start-up code waits for the inputs: filters have settled and the first conversion is done (or,
  /// with the converter standing still, counts and conversion number are 0).
  /// No effect with power on.
  void power_on();
  /// The watchdog has bitten: outputs are de-energised and the processor stands still until
  /// `restart()`.
  [[nodiscard]] bool restart_requested() const { return restart_requested_; }
  /// The processor starts, reset cause `watchdog`. Contact inputs and converter have kept running.
  /// No effect unless requested.
  void restart();

  // ---- faults
  /// Adds a fault of the wiring. With an onset that has passed it acts from now on.
  Injected inject(const SignalFault& fault);
  /// False if no such fault is there.
  bool clear(FaultId id);
  void clear_signal_faults();
  /// Gives why not; empty if taken.
  std::string_view inject(const ClockFault& fault) { return clock_.inject(fault, t_); }
  void clear_clock_faults() { clock_.clear_faults(); }
  /// The converter stands still at onset_ms <= t < end_ms: counts and conversion number keep. There
  /// is one such span at a time; a new one takes its place, and one that is empty clears it.
  void stop_converter(VirtualMs onset_ms, VirtualMs end_ms = no_end) {
    converter_stops_at_ = onset_ms;
    converter_goes_on_at_ = end_ms;
  }

  NonVolatileStore& store() { return store_; }
  [[nodiscard]] const NonVolatileStore& store() const { return store_; }

  [[nodiscard]] const Violations& violations() const { return violations_; }
  /// Calls of a controller that cannot be running.
  [[nodiscard]] std::uint32_t ignored_calls() const { return ignored_calls_; }

  friend bool operator==(const Board&, const Board&) = default;

 private:
  [[nodiscard]] bool running() const { return powered_ && !restart_requested_; }
  bool refuse_call();
  void start_processor(hal::ResetCause cause);

  void refresh_wiring(VirtualMs instant);
  void pass_inputs(VirtualMs from, std::uint32_t ms);
  void convert();
  void bite();
  void pass_outputs(VirtualMs from);
  void drive(VirtualMs instant);
  double carry_field(Point point, VirtualMs instant);
  double carry_command(Point point, VirtualMs instant);
  [[nodiscard]] std::uint32_t terminal_contacts() const {
    return (field_.contacts & ~forced_mask_) | forced_levels_;
  }

  BoardOptions options_;
  VirtualMs t_ = 0;
  FieldInputs field_;
  Wiring wiring_;
  Wiring::Active faults_;            ///< as of the last refresh
  std::uint32_t forced_mask_ = 0;    ///< contact inputs that a constant fault holds ...
  std::uint32_t forced_levels_ = 0;  ///< ... at these levels
  InputFilter filter_;
  VirtualMs next_conversion_ = 0;
  VirtualMs converter_stops_at_ = no_end;
  VirtualMs converter_goes_on_at_ = no_end;
  hal::InputImage image_;  ///< counts and conversion; contacts are in the filter
  hal::OutputImage commanded_;
  FieldOutputs driven_;
  VirtualMs bite_at_ = 0;
  VirtualClock clock_;
  NonVolatileStore store_;
  hal::ResetCause reset_cause_ = hal::ResetCause::power_up;
  bool powered_ = false;
  bool restart_requested_ = false;
  Violations violations_;
  std::uint32_t ignored_calls_ = 0;
};

static_assert(hal::Board<Board>);

}  // namespace ovenproof::mock
