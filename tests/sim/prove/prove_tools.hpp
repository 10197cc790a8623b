#pragma once
#include <chrono>
#include <initializer_list>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "sim/prove/explorer.hpp"
#include "sim/prove/interlocks.hpp"

namespace ovenproof::prove::test {

inline properties::Property compiled(const std::string& text) {
  properties::Compiled c = properties::compile(text, signal_table(), std::chrono::milliseconds(10));
  for (const properties::Diagnostic& error : c.errors) FAIL(text << ": " << error.message());
  REQUIRE(c.property.has_value());
  return *c.property;
}

inline std::vector<properties::Property> compiled(const std::vector<std::string>& texts) {
  std::vector<properties::Property> all;
  for (const std::string& text : texts) all.push_back(compiled(text));
  return all;
}

/// Everything as in a healthy oven at rest, and never anything else, but for the facts left free.
inline Reading only_free(std::initializer_list<logic::Fact> free) {
  using enum logic::Fact;
  Reading assumed{0, healthy_facts};
  for (std::size_t i = 0; i < logic::fact_count; ++i) assumed.known |= FactSet{1} << i;
  for (const logic::Fact fact :
       {k1_open, k2_open, damper_closed, purge_volumes_reached, oxygen_at_gate}) {
    assumed.value |= bit(fact);
  }
  for (std::size_t i = logic::plain_fact_count; i < logic::fact_count; ++i) {
    // The three waits of the normal course are over at once, no time limit ever is.
    const auto timer = static_cast<logic::Timer>(i - logic::plain_fact_count);
    if (timer == logic::Timer::gate_hold || timer == logic::Timer::changeover) {
      assumed.value |= FactSet{1} << i;
    }
  }
  for (const logic::Fact fact : free) {
    assumed.known &= ~bit(fact);
    assumed.value &= ~bit(fact);
  }
  return assumed;
}

}  // namespace ovenproof::prove::test
