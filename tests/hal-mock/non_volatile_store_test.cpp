#include "hal-mock/non_volatile_store.hpp"

#include <array>
#include <cstdint>
#include <limits>
#include <vector>

#include <doctest/doctest.h>

using ovenproof::mock::NonVolatileStore;
using Written = NonVolatileStore::Written;

namespace {
std::vector<std::byte> bytes(std::size_t n, std::uint8_t first) {
  std::vector<std::byte> result(n);
  for (std::size_t i = 0; i < n; ++i) result[i] = static_cast<std::byte>(first + i);
  return result;
}
std::vector<std::byte> read(const NonVolatileStore& store, std::size_t offset, std::size_t n) {
  std::vector<std::byte> result(n);
  REQUIRE(store.read(offset, result));
  return result;
}
}  // namespace

TEST_CASE("a new store reads 0xFF throughout") {
  const NonVolatileStore store;
  CHECK(read(store, 0, NonVolatileStore::size) ==
        std::vector<std::byte>(NonVolatileStore::size, std::byte{0xFF}));
}

TEST_CASE("what is written is read back, and the bytes around it stay") {
  NonVolatileStore store;
  CHECK(store.write(10, bytes(4, 1)) == Written::whole);
  CHECK(read(store, 10, 4) == bytes(4, 1));
  CHECK(read(store, 9, 1).front() == std::byte{0xFF});
  CHECK(read(store, 14, 1).front() == std::byte{0xFF});
  CHECK(store.writes() == 1);
}

TEST_CASE("the last byte can be accessed, one byte further is refused and changes nothing") {
  NonVolatileStore store;
  CHECK(store.write(NonVolatileStore::size - 4, bytes(4, 1)) == Written::whole);
  const NonVolatileStore before = store;
  std::array<std::byte, 4> into{};
  const std::size_t top = std::numeric_limits<std::size_t>::max();
  for (const std::size_t offset :
       {NonVolatileStore::size - 3, NonVolatileStore::size, top, top - 3}) {
    CAPTURE(offset);
    CHECK(store.write(offset, bytes(4, 9)) == Written::refused);
    CHECK_FALSE(store.read(offset, into));
  }
  CHECK(into == std::array<std::byte, 4>{});
  CHECK(store == before);
}

TEST_CASE("a cut write leaves the bytes before the cut new and those after it old") {
  for (std::size_t cut = 0; cut < 8; ++cut) {
    CAPTURE(cut);
    NonVolatileStore store;
    REQUIRE(store.write(0, bytes(8, 100)) == Written::whole);
    store.cut_power_after(cut);
    CHECK(store.write(0, bytes(8, 1)) == Written::torn);
    CHECK(read(store, 0, cut) == bytes(cut, 1));
    CHECK(read(store, cut, 8 - cut) == bytes(8 - cut, static_cast<std::uint8_t>(100 + cut)));
    CHECK(store.write(0, bytes(8, 1)) == Written::whole);  // once only
  }
}

TEST_CASE("the cut is counted over several writes") {
  NonVolatileStore store;
  store.cut_power_after(8);
  CHECK(store.write(0, bytes(4, 1)) == Written::whole);
  CHECK(store.write(4, bytes(4, 5)) == Written::whole);
  CHECK(store.write(8, bytes(1, 9)) == Written::torn);
  CHECK(read(store, 0, 8) == bytes(8, 1));
  CHECK(read(store, 8, 1).front() == std::byte{0xFF});
}

TEST_CASE("a failing medium refuses every access until it recovers") {
  NonVolatileStore store;
  REQUIRE(store.write(0, bytes(4, 1)) == Written::whole);
  store.set_failing(true);
  std::array<std::byte, 4> into{};
  CHECK_FALSE(store.read(0, into));
  CHECK(store.write(0, bytes(4, 9)) == Written::refused);
  store.set_failing(false);
  CHECK(read(store, 0, 4) == bytes(4, 1));
}

TEST_CASE("corruption flips the bits asked for and no others") {
  NonVolatileStore store;
  REQUIRE(store.write(0, bytes(3, 0)) == Written::whole);
  CHECK(store.flip(1, std::byte{0x81}));
  CHECK(read(store, 0, 3) == std::vector<std::byte>{std::byte{0}, std::byte{0x80}, std::byte{2}});
  CHECK(store.flip(NonVolatileStore::size - 1, std::byte{1}));
  CHECK_FALSE(store.flip(NonVolatileStore::size, std::byte{1}));
}
