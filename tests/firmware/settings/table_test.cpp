#include "firmware/settings/table.hpp"

#include <cstddef>
#include <cstring>
#include <set>
#include <string>
#include <type_traits>

#include <doctest/doctest.h>

using namespace ovenproof::settings;

TEST_CASE("every default is within its range") {
  for (const Descriptor& entry : table) {
    CAPTURE(entry.key);
    CHECK(in_range(entry, entry.default_value()));
  }
}

TEST_CASE("every setting says what it is, in which unit and why") {
  std::set<std::string> keys;
  for (const Descriptor& entry : table) {
    CAPTURE(entry.key);
    CHECK(keys.insert(std::string(entry.key)).second);
    CHECK(entry.key.find('.') != std::string_view::npos);
    CHECK_FALSE(entry.what.empty());
    CHECK_FALSE(entry.why.empty());
    const bool has_unit = entry.kind == Kind::number || entry.kind == Kind::integer;
    CHECK(entry.unit.empty() == !has_unit);
    CHECK(entry.choices.empty() == (entry.kind != Kind::choice));
    if (entry.kind == Kind::choice) CHECK(entry.choices.size() == entry.maximum.bits + 1);
    CHECK(entry.minimum.kind == entry.kind);
    CHECK(entry.maximum.kind == entry.kind);
  }
}

TEST_CASE("a range ends where it says, and a NaN is in none") {
  const Descriptor& gate = table[index_of("purge.gate")];
  CHECK(in_range(gate, Value::number(1.0F)));
  CHECK(in_range(gate, Value::number(10'000.0F)));
  CHECK_FALSE(in_range(gate, Value::number(0.999999F)));
  CHECK_FALSE(in_range(gate, Value::number(10'000.001F)));
  CHECK_FALSE(in_range(gate, Value{Kind::number, 0x7FC0'0000U}));
  CHECK_FALSE(in_range(gate, Value::integer(100)));
  const Descriptor& repurges = table[index_of("purge.max_repurges")];
  CHECK(in_range(repurges, Value::integer(3)));
  CHECK_FALSE(in_range(repurges, Value::integer(4)));
}

TEST_CASE("setting one setting changes that one and no other") {
  for (std::size_t i = 0; i < table.size(); ++i) {
    CAPTURE(table[i].key);
    Settings settings;
    const Value fresh =
        table[i].default_value() == table[i].maximum ? table[i].minimum : table[i].maximum;
    table[i].set(settings, fresh);
    for (std::size_t k = 0; k < table.size(); ++k)
      CHECK(table[k].get(settings) == (k == i ? fresh : table[k].default_value()));
  }
}

TEST_CASE("no member of the settings is missing from the table") {
  static_assert(std::is_trivially_copyable_v<Settings>);
  // Each run of one-byte members of Options and Oxygen, three runs in all, is followed by three
  // bytes of padding; every other byte belongs to a member, and changing it must show in some
  // entry.
  std::size_t unseen = 0;
  for (std::size_t offset = 0; offset < sizeof(Settings); ++offset) {
    Settings settings;
    auto* byte = reinterpret_cast<unsigned char*>(&settings) + offset;
    *byte = *byte ^ 1U;
    bool seen = false;
    for (const Descriptor& entry : table)
      seen = seen || entry.get(settings) != entry.default_value();
    if (!seen) ++unseen;
  }
  CHECK(unseen == 9);
}

TEST_CASE("a key is found by its name, another is not") {
  CHECK(find("purge.gate") == index_of("purge.gate"));
  CHECK(table[*find("programme.segment_8.soak")].get(Settings{}) == Value::integer(3'600'000));
  CHECK_FALSE(find("purge.gat").has_value());
  CHECK_FALSE(find("").has_value());
}
