#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

namespace ovenproof::mock {

/// Memory that keeps its content without power, written byte by byte in rising order. New, every
/// byte is 0xFF.
class NonVolatileStore {
 public:
  static constexpr std::size_t size = 4096;

  NonVolatileStore() { bytes_.fill(std::byte{0xFF}); }

  /// How a write went. `torn`: the power failed within it.
  enum class Written : std::uint8_t { whole, refused, torn };

  /// Reads `into.size()` bytes; false, and nothing read, when the range does not lie in the store
  /// or the medium fails.
  bool read(std::size_t offset, std::span<std::byte> into) const;
  /// Writes; `refused`, and nothing written, when the range does not lie in the store or the
  /// medium fails. A torn write leaves the bytes before the cut new and those after it old.
  Written write(std::size_t offset, std::span<const std::byte> from);

  /// The power lasts for that many bytes of writing from now, over however many writes; the byte
  /// after them is not written. The cut happens once.
  void cut_power_after(std::size_t bytes) { bytes_until_cut_ = bytes; }
  /// The medium fails: every access is refused.
  void set_failing(bool failing) { failing_ = failing; }
  /// Corrupts one byte: flips the bits of `mask` at `offset`. False if the offset is not in the
  /// store.
  bool flip(std::size_t offset, std::byte mask);

  /// Whole or torn writes so far, for wear.
  [[nodiscard]] std::uint32_t writes() const { return writes_; }

  static constexpr bool in_range(std::size_t offset, std::size_t length) {
    return offset <= size && length <= size - offset;
  }

  friend bool operator==(const NonVolatileStore&, const NonVolatileStore&) = default;

 private:
  std::array<std::byte, size> bytes_;
  std::optional<std::size_t> bytes_until_cut_;
  std::uint32_t writes_ = 0;
  bool failing_ = false;
};

}  // namespace ovenproof::mock
