#include "firmware/settings/store.hpp"

namespace ovenproof::settings {
namespace {

constexpr std::uint32_t magic = 0x5353'564FU;  // "OVSS" as bytes

/// Changes with every key, kind and order in the table, so that an image of another table is
/// never read into the wrong settings.
constexpr std::uint32_t layout = [] {
  std::uint32_t sum = 0;
  for (const Descriptor& entry : table) {
    std::array<std::byte, 48> text{};
    std::size_t length = 0;
    for (const char c : entry.key) text[length++] = static_cast<std::byte>(c);
    text[length++] = static_cast<std::byte>(entry.kind);
    sum = (sum << 1U | sum >> 31U) ^ crc32({text.data(), length});
  }
  return sum;
}();

constexpr std::size_t first_setting = 3;
constexpr std::size_t checksum_word = first_setting + setting_count;

void put(Image& image, std::size_t word, std::uint32_t bits) {
  for (std::size_t i = 0; i < 4; ++i)
    image[4 * word + i] = static_cast<std::byte>(bits >> (8 * i) & 0xFFU);
}

std::uint32_t word_at(const Image& image, std::size_t word) {
  std::uint32_t bits = 0;
  for (std::size_t i = 0; i < 4; ++i)
    bits |= static_cast<std::uint32_t>(image[4 * word + i]) << (8 * i);
  return bits;
}

std::uint32_t checksum(const Image& image) {
  return crc32(std::span{image}.first<4 * checksum_word>());
}

Decoded refused(Refusal why) {
  Decoded result;
  result.refusal = why;
  return result;
}

}  // namespace

Image encode(const Settings& settings) {
  Image image{};
  put(image, 0, magic);
  put(image, 1, store_version);
  put(image, 2, layout);
  for (std::size_t i = 0; i < setting_count; ++i)
    put(image, first_setting + i, table[i].get(settings).bits);
  put(image, checksum_word, checksum(image));
  return image;
}

Decoded decode(const Image& image) {
  if (word_at(image, 0) != magic) return refused(Refusal::blank);
  if (word_at(image, 1) != store_version || word_at(image, 2) != layout)
    return refused(Refusal::wrong_version);
  if (word_at(image, checksum_word) != checksum(image)) return refused(Refusal::wrong_checksum);

  Decoded result;
  Settings read;
  for (std::size_t i = 0; i < setting_count; ++i) {
    const Value value{table[i].kind, word_at(image, first_setting + i)};
    // A bit pattern that a boolean or a choice cannot hold would be changed by storing it.
    if (in_range(table[i], value))
      table[i].set(read, value);
    else
      result.violations.add(out_of_range(i));
  }
  // What was not read stands at its default and must not appear to contradict the rest.
  if (result.violations.empty()) result.violations = validate(read);
  result.refusal = result.violations.empty() ? Refusal::none : Refusal::invalid;
  if (result.accepted()) result.settings = read;
  return result;
}

}  // namespace ovenproof::settings
