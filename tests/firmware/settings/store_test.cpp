#include "firmware/settings/store.hpp"

#include <cstring>

#include <boost/crc.hpp>
#include <doctest/doctest.h>

#include "property.hpp"
#include "random_settings.hpp"

using namespace ovenproof;
using namespace ovenproof::settings;

namespace {

constexpr std::size_t first_setting = 12;
constexpr std::size_t checksum_at = image_size - 4;

std::uint32_t word(const Image& image, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint32_t>(image[at + i]); };
  return byte(0) | byte(1) << 8U | byte(2) << 16U | byte(3) << 24U;
}

void put(Image& image, std::size_t at, std::uint32_t bits) {
  for (std::size_t i = 0; i < 4; ++i) image[at + i] = static_cast<std::byte>(bits >> (8 * i));
}

/// The image with `bits` at `at` and a checksum that fits, as a foreign program would write it.
Image forged(const Settings& settings, std::size_t at, std::uint32_t bits) {
  Image image = encode(settings);
  put(image, at, bits);
  put(image, checksum_at, crc32(std::span{image}.first<checksum_at>()));
  return image;
}

}  // namespace

TEST_CASE("the checksum is the CRC-32 everyone means") {
  const char* const text = "123456789";
  std::array<std::byte, 9> bytes{};
  std::memcpy(bytes.data(), text, bytes.size());
  CHECK(crc32(bytes) == 0xCBF4'3926U);
  CHECK(crc32({}) == 0U);
}

TEST_CASE("the checksum equals that of Boost.CRC over any bytes") {
  test::check_property(0xC5C32, [](const std::vector<std::uint8_t>& bytes) {
    boost::crc_32_type independent;
    independent.process_bytes(bytes.data(), bytes.size());
    RC_ASSERT(crc32(std::as_bytes(std::span{bytes})) == independent.checksum());
  });
}

TEST_CASE("an image is little-endian words: magic, version, layout, settings, checksum") {
  Settings settings;
  settings.options.gas = Gas::argon;
  settings.scan.converter_stale = Milliseconds{0x0102};
  const Image image = encode(settings);
  CHECK(image_size == 16 + 4 * setting_count);
  CHECK(std::memcmp(image.data(), "OVSS", 4) == 0);
  CHECK(image[4] == std::byte{store_version});
  CHECK(word(image, first_setting) == 1);  // argon
  const std::size_t volume = first_setting + 4 * index_of("purge.chamber_volume");
  CHECK(image[volume] == std::byte{0x00});  // 160.0 = 43200000h
  CHECK(image[volume + 2] == std::byte{0x20});
  CHECK(image[volume + 3] == std::byte{0x43});
  CHECK(image[checksum_at - 4] == std::byte{0x02});
  CHECK(image[checksum_at - 3] == std::byte{0x01});
}

TEST_CASE("what is stored comes back the same, or is refused because it is invalid") {
  int accepted = 0;
  int refused = 0;
  test::check_property(
      0x570E,
      [&] {
        const Settings settings = random_settings();
        const Decoded read = decode(encode(settings));
        const Violations expected = validate(settings);
        RC_ASSERT(read.accepted() == expected.empty());
        RC_ASSERT(read.violations.size() == expected.size());
        ++(read.accepted() ? accepted : refused);
        if (read.accepted())
          RC_ASSERT(read.settings == settings);
        else
          RC_ASSERT(read.settings == Settings{});
      },
      1000);
  CHECK(accepted > 100);
  CHECK(refused > 100);
}

TEST_CASE("any single flipped bit of an image is refused") {
  const Image whole = encode(Settings{});
  REQUIRE(decode(whole).accepted());
  for (std::size_t bit = 0; bit < 8 * image_size; ++bit) {
    Image image = whole;
    image[bit / 8] ^= std::byte{1} << (bit % 8);
    const Decoded read = decode(image);
    CAPTURE(bit);
    CHECK_FALSE(read.accepted());
    CHECK(read.settings == Settings{});
    const Refusal expected = bit < 32   ? Refusal::blank
                             : bit < 96 ? Refusal::wrong_version
                                        : Refusal::wrong_checksum;
    CHECK(read.refusal == expected);
  }
}

TEST_CASE("any two flipped bits, and any burst up to 32 bits, are refused") {
  const Image whole = encode(Settings{});
  const auto flip = [](Image& image, std::size_t bit) {
    image[bit / 8] ^= std::byte{1} << (bit % 8);
  };
  test::check_property(
      0xB17,
      [&] {
        Image two = whole;
        const auto first = *rc::gen::inRange<std::size_t>(0, 8 * image_size);
        const auto second = *rc::gen::inRange<std::size_t>(0, 8 * image_size);
        RC_PRE(first != second);
        flip(two, first);
        flip(two, second);
        RC_ASSERT_FALSE(decode(two).accepted());

        Image burst = whole;
        const auto pattern = *rc::gen::arbitrary<std::uint32_t>() | 1U;
        const auto start = *rc::gen::inRange<std::size_t>(0, 8 * image_size - 32);
        for (std::size_t i = 0; i < 32; ++i)
          if ((pattern >> i & 1U) != 0) flip(burst, start + i);
        RC_ASSERT_FALSE(decode(burst).accepted());
      },
      1000);
}

TEST_CASE("erased or foreign memory is blank") {
  Image image;
  image.fill(std::byte{0xFF});
  CHECK(decode(image).refusal == Refusal::blank);
  image.fill(std::byte{0});
  CHECK(decode(image).refusal == Refusal::blank);
}

TEST_CASE("another version or layout is refused even with a checksum that fits") {
  CHECK(decode(forged(Settings{}, 4, store_version + 1)).refusal == Refusal::wrong_version);
  CHECK(decode(forged(Settings{}, 4, 0)).refusal == Refusal::wrong_version);
  const std::uint32_t layout = word(encode(Settings{}), 8);
  CHECK(decode(forged(Settings{}, 8, layout ^ 1U)).refusal == Refusal::wrong_version);
}

TEST_CASE("a whole image with any one value out of range is refused, naming the setting") {
  for (std::size_t i = 0; i < table.size(); ++i) {
    CAPTURE(table[i].key);
    const std::size_t at = first_setting + 4 * i;
    // 7FC00000h is a NaN and no duration, count, boolean or choice; 100h would become 0 in a byte.
    const std::uint32_t wrong = table[i].kind == Kind::choice    ? 0x100U
                                : table[i].kind == Kind::boolean ? 2U
                                                                 : 0x7FC0'0000U;
    const Decoded read = decode(forged(Settings{}, at, wrong));
    CHECK(read.refusal == Refusal::invalid);
    REQUIRE(read.violations.size() == 1);
    CHECK(read.violations[0] == out_of_range(i));
    CHECK(read.settings == Settings{});
  }
}

TEST_CASE("a whole image whose values contradict each other is refused, naming the rule") {
  Settings settings;
  settings.purge.process_flow = LitresPerMinute{150.0F};
  const Decoded read = decode(encode(settings));
  CHECK(read.refusal == Refusal::invalid);
  REQUIRE(read.violations.size() == 1);
  CHECK(read.violations[0].rule == Rule::process_below_purge_flow);
}
