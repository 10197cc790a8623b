#pragma once
#include <concepts>
#include <cstddef>
#include <cstdint>
#include <span>

#include "firmware/hal/image.hpp"
#include "firmware/math/units.hpp"

/// The seam between the controller and a board.
namespace ovenproof::hal {

/// Why the processor started.
enum class ResetCause : std::uint8_t { power_up, watchdog };

/// What every board gives. A concept, not a base class: a target pays for no dispatch, and the
/// controller holds no pointer to its board, so both can be copied as plain values.
///
/// - `read_inputs()`: one consistent snapshot.
/// - `write_outputs(image)`: applied together.
/// - `now()`: monotonic clock, wraps at 2^32 ms.
/// - `store_read(offset, bytes)` / `store_write(offset, bytes)`: non-volatile store; false when the
///   range does not lie in the store or the medium fails. Never call store_write from a scan that
///   must meet its deadline.
/// - `kick_watchdog()`: without a kick within the board's timeout the board de-energises every
///   output and restarts the processor.
template <class B>
concept Board = requires(B& board, const OutputImage& outputs, std::span<std::byte> into,
                         std::span<const std::byte> from, std::size_t offset) {
  { board.read_inputs() } -> std::same_as<InputImage>;
  { board.write_outputs(outputs) } -> std::same_as<void>;
  { board.now() } -> std::same_as<Milliseconds>;
  { board.store_read(offset, into) } -> std::same_as<bool>;
  { board.store_write(offset, from) } -> std::same_as<bool>;
  { board.kick_watchdog() } -> std::same_as<void>;
  { board.reset_cause() } -> std::same_as<ResetCause>;
};

}  // namespace ovenproof::hal
