#include "sim/prove/shared_table.hpp"

#include <map>
#include <random>
#include <thread>

#include <doctest/doctest.h>

using ovenproof::prove::SharedTable;

namespace {

/// Few hashes for many values, so that they meet.
std::uint64_t hash_of(unsigned value) { return value % 97; }

std::uint32_t number_of(SharedTable<unsigned>& table, unsigned value) {
  const auto is = [value](unsigned other) { return other == value; };
  const std::uint32_t known = table.find(hash_of(value), is);
  return known != SharedTable<unsigned>::none ? known : table.add(hash_of(value), value, is);
}

}  // namespace

TEST_CASE("a shared table gives each value one number, whichever of many threads comes first") {
  constexpr unsigned values = 3'000;
  constexpr unsigned threads = 4;
  SharedTable<unsigned> table;
  for (int round = 0; round < 3; ++round) {
    std::vector<std::map<unsigned, std::uint32_t>> seen(threads);
    {
      std::vector<std::jthread> all;
      for (unsigned t = 0; t < threads; ++t) {
        all.emplace_back([&table, &mine = seen[t], t] {
          std::mt19937 random(t);
          for (unsigned n = 0; n < 4 * values; ++n) {
            const unsigned value = random() % values;
            const std::uint32_t number = number_of(table, value);
            if (table[number] != value) mine.clear();
            const auto [at, fresh] = mine.emplace(value, number);
            if (!fresh && at->second != number) mine.clear();
          }
        });
      }
    }
    CHECK(table.size() <= values);
    for (const auto& mine : seen) {
      CHECK(mine.size() > values / 2);
      for (const auto& [value, number] : mine) {
        CHECK(table[number] == value);
        CHECK(number_of(table, value) == number);
      }
    }
    table.clear();
    CHECK(table.size() == 0);
    CHECK(table.find(hash_of(1), [](unsigned) { return true; }) == SharedTable<unsigned>::none);
  }
}
