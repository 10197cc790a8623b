#include <array>
#include <cstddef>
#include <functional>
#include <string>

#include "bench.hpp"
#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::controller::testing;

namespace {

struct Spoiled {
  const char* how;
  settings::Refusal refusal;
  std::function<void(mock::NonVolatileStore&)> spoil;
};

const std::array<Spoiled, 6>& spoiled_stores() {
  static const std::array<Spoiled, 6> all{{
      {"a store never written", settings::Refusal::blank, [](mock::NonVolatileStore&) {}},
      {"a medium that fails", settings::Refusal::blank,
       [](mock::NonVolatileStore& store) {
         store.write(controller::settings_offset, settings::encode({}));
         store.set_failing(true);
       }},
      {"one flipped bit in a value", settings::Refusal::wrong_checksum,
       [](mock::NonVolatileStore& store) {
         store.write(controller::settings_offset, settings::encode({}));
         store.flip(controller::settings_offset + 100, std::byte{0x10});
       }},
      {"one flipped bit in the checksum", settings::Refusal::wrong_checksum,
       [](mock::NonVolatileStore& store) {
         store.write(controller::settings_offset, settings::encode({}));
         store.flip(controller::settings_offset + settings::image_size - 1, std::byte{0x01});
       }},
      {"another version", settings::Refusal::wrong_version,
       [](mock::NonVolatileStore& store) {
         store.write(controller::settings_offset, settings::encode({}));
         store.flip(controller::settings_offset + 4, std::byte{0x02});
       }},
      {"values that contradict each other", settings::Refusal::invalid,
       [](mock::NonVolatileStore& store) {
         settings::Settings gate_above_hold;
         gate_above_hold.purge.hold_limit = Ppm(50.0F);
         store.write(controller::settings_offset, settings::encode(gate_above_hold));
       }},
  }};
  return all;
}

Bench bench_with(const Spoiled& spoiled) {
  mock::Board board;
  spoiled.spoil(board.store());
  return Bench(board);
}

}  // namespace

TEST_CASE("whole settings are accepted, and the same oven can be reset and started") {
  Bench bench;
  bench.run(3'000);
  CHECK(bench.controller->settings_refusal() == settings::Refusal::none);
  CHECK(bench.fact(Fact::settings_valid));
  bench.reset();
  CHECK(bench.phase() == Phase::standby);
  bench.press(DigitalIn::start_button);
  CHECK(bench.phase() == Phase::purging);
  CHECK(bench.anything_energised());
}

TEST_CASE("settings that are refused leave the oven tripped, with the reason, and deaf to reset") {
  for (const Spoiled& spoiled : spoiled_stores()) {
    CAPTURE(std::string(spoiled.how));
    Bench bench = bench_with(spoiled);
    bench.run(3'000);
    CHECK(bench.controller->settings_refusal() == spoiled.refusal);
    CHECK_FALSE(bench.fact(Fact::settings_valid));
    CHECK((bench.controller->present_causes() >> static_cast<unsigned>(Cause::settings_invalid) &
           1U) != 0);
    for (int attempt = 0; attempt < 3; ++attempt) {
      bench.reset();
      CHECK(bench.phase() == Phase::tripped);
      bench.press(DigitalIn::start_button);
      CHECK(bench.phase() == Phase::tripped);
      CHECK_FALSE(bench.anything_energised());
    }
  }
}

TEST_CASE("with refused settings nothing is ever energised, whatever the inputs do") {
  test::check_property(
      20'261'101,
      [] {
        const auto& spoiled =
            spoiled_stores()[*rc::gen::inRange<std::size_t>(0, spoiled_stores().size())];
        Bench bench = bench_with(spoiled);
        for (int moves = 0; moves < 40; ++moves) {
          const auto point =
              *rc::gen::inRange<std::size_t>(0, hal::digital_in_count + hal::analog_in_count);
          if (point < hal::digital_in_count) {
            const auto contact = static_cast<DigitalIn>(point);
            bench.field.set(contact, !bench.field.closed(contact));
          } else {
            bench.field.set(static_cast<AnalogIn>(point - hal::digital_in_count),
                            *rc::gen::inRange(0, 150));
          }
          const int scans = *rc::gen::inRange(1, 60);
          for (int i = 0; i < scans; ++i) {
            bench.scan();
            RC_ASSERT(!bench.anything_energised());
            RC_ASSERT(bench.phase() == Phase::tripped);
          }
        }
      },
      60);
}

TEST_CASE("settings are read at start-up: good ones written later count after the next start") {
  Bench bench = bench_with(spoiled_stores()[2]);
  bench.board.store().write(controller::settings_offset, settings::encode(quick_settings()));
  bench.reset();
  CHECK(bench.phase() == Phase::tripped);
  bench.board.power_off();
  bench.power_on();
  bench.run(2'000);
  bench.reset();
  CHECK(bench.phase() == Phase::standby);
}
