#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

#include "firmware/settings/settings.hpp"
#include "firmware/settings/table.hpp"
#include "firmware/settings/validate.hpp"

/// Settings as bytes for the non-volatile store.
///
/// 32-bit little-endian words: magic, version, layout, one word a setting in table order (float
/// bits, integer, 0 or 1, choice index), CRC-32 of all bytes before.
namespace ovenproof::settings {

/// Raised when the meaning of a stored word changes without its key changing.
inline constexpr std::uint32_t store_version = 1;

/// Bytes of one stored set.
inline constexpr std::size_t image_size = (3 + setting_count + 1) * 4;
using Image = std::array<std::byte, image_size>;

/// CRC-32 as of IEEE 802.3: polynomial 04C11DB7h, reflected, initial value and final exclusive-or
/// FFFFFFFFh. Check value: "123456789" gives CBF43926h. Detects every single-bit error and every
/// burst of up to 32 bits.
[[nodiscard]] constexpr std::uint32_t crc32(std::span<const std::byte> bytes) {
  // Bit by bit: a table would cost 1 KB, and Boost.CRC's is filled at run time, pulls in asserts
  // and hosted headers. The settings are checked at start-up only.
  std::uint32_t crc = 0xFFFF'FFFFU;
  for (const std::byte byte : bytes) {
    crc ^= static_cast<std::uint32_t>(byte);
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1U) ^ ((crc & 1U) != 0 ? 0xEDB8'8320U : 0U);
  }
  return crc ^ 0xFFFF'FFFFU;
}

/// The settings as they are, valid or not.
[[nodiscard]] Image encode(const Settings& settings);

/// Why an image was refused.
enum class Refusal : std::uint8_t {
  none,
  blank,          ///< not an image at all: erased or foreign memory
  wrong_version,  ///< written by firmware with another version or another table of settings
  wrong_checksum,
  invalid,  ///< whole, but its values fail validation
};

struct Decoded {
  Refusal refusal = Refusal::blank;
  Settings settings;      ///< the defaults unless accepted
  Violations violations;  ///< of an `invalid` image

  [[nodiscard]] constexpr bool accepted() const { return refusal == Refusal::none; }
};

/// Settings from an image, or the reason why not. Never gives settings that fail `validate`.
[[nodiscard]] Decoded decode(const Image& image);

}  // namespace ovenproof::settings
