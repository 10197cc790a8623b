#include <vector>

#include <doctest/doctest.h>

#include "boards.hpp"
#include "hal-mock/converter.hpp"

using namespace ovenproof;
using namespace ovenproof::mock;
using namespace ovenproof::mock::test;

namespace {

constexpr VirtualMs onset = 40;
constexpr VirtualMs end = 160;

/// A fault of that kind that shows on a signal which moves all the time.
Effect showing(FaultKind kind, Point point) {
  switch (kind) {
    case FaultKind::delay:
      return Delay{17};
    case FaultKind::bounce:
      return Bounce{2, 5};
    case FaultKind::gain:
      return Gain{1.25};
    case FaultKind::offset:
      return Offset{5.0};
    case FaultKind::drift:
      return Drift{1e6};
    case FaultKind::noise:
      return Noise{3.0, 99};
    case FaultKind::frozen:
      return Frozen{};
    case FaultKind::stuck_at:
      return StuckAt{1.0};
    case FaultKind::crossed_with:
      return CrossedWith{point == Point(DigitalIn::stop_button) ? DigitalIn::start_button
                                                                : DigitalIn::stop_button};
    case FaultKind::short_circuit:
      return ShortCircuit{};
    case FaultKind::intermittent:
      return Intermittent{10, 4};
    case FaultKind::open:
    case FaultKind::count:
      break;
  }
  return Open{};
}

/// A small generator of its own, so that field and outputs move at random but the same every run.
struct Moves {
  std::uint32_t state;
  std::uint32_t next() { return (state = state * 1'664'525U + 1'013'904'223U) >> 8U; }
};

FieldInputs random_field(Moves& moves) {
  FieldInputs field = plain_field();
  field.contacts = moves.next() & 0xFFFFU;
  for (double& value : field.analog) value += static_cast<double>(moves.next() % 1000) / 200.0;
  return field;
}

hal::OutputImage random_outputs(Moves& moves) {
  return {.coils = moves.next() & 0x3FFU,
          .heater_permille = static_cast<std::uint16_t>(moves.next() % 900)};
}

/// All that can be seen of the board, as one number for each point.
std::array<double, Point::count> seen(Board& board) {
  std::array<double, Point::count> values{};
  const hal::InputImage image = board.read_inputs();
  const FieldOutputs& out = board.field_outputs();
  for (std::size_t i = 0; i < Point::count; ++i) {
    const Point p = *Point::at(i);
    const std::size_t n = p.index_in_class();
    switch (p.point_class()) {
      case PointClass::digital_in:
        values[i] = image.contacts >> n & 1U;
        break;
      case PointClass::analog_in:
        values[i] = image.counts[n];
        break;
      case PointClass::digital_out:
        values[i] = out.coils >> n & 1U;
        break;
      case PointClass::heater:
        values[i] = out.heater_permille;
        break;
    }
  }
  return values;
}

}  // namespace

TEST_CASE("each fault on each point shows there and nowhere else, from onset to before the end") {
  int injected = 0;
  int refused = 0;
  for (std::size_t i = 0; i < Point::count; ++i) {
    for (std::size_t k = 0; k < fault_kind_count; ++k) {
      const Point point = *Point::at(i);
      const auto kind = static_cast<FaultKind>(k);
      CAPTURE(name(point));
      CAPTURE(name(kind));
      Board sound = powered(immediate);
      Board faulty = sound;
      const Injected result = faulty.inject(
          {.point = point, .effect = showing(kind, point), .onset_ms = onset, .end_ms = end});
      if (!result.id) {
        CHECK_FALSE(result.refusal.empty());
        CHECK(result.refusal == refusal(point, kind));
        CHECK(faulty == sound);
        ++refused;
        continue;
      }
      CHECK(refusal(point, kind).empty());
      ++injected;
      Moves moves{static_cast<std::uint32_t>(i * 100 + k)};
      int elsewhere = 0;
      int before_or_after = 0;
      int within = 0;
      for (VirtualMs t = 1; t <= 200; ++t) {
        const FieldInputs field = random_field(moves);
        const hal::OutputImage outputs = random_outputs(moves);
        for (Board* board : {&sound, &faulty}) {
          board->present(field);
          board->advance(1);
          board->write_outputs(outputs);
        }
        const auto a = seen(sound);
        const auto b = seen(faulty);
        for (std::size_t j = 0; j < Point::count; ++j) {
          if (a[j] == b[j]) continue;
          const bool active = onset <= t && t < end;
          if (j != i)
            ++elsewhere;
          else if (!active)
            ++before_or_after;
          else
            ++within;
        }
      }
      CHECK(elsewhere == 0);
      CHECK(before_or_after == 0);
      CHECK(within > 0);
    }
  }
  // 16 contacts take 8 of 12 kinds, 10 coils 7, 7 numbers 10.
  CHECK(injected == 16 * 8 + 10 * 7 + 7 * 10);
  CHECK(refused == 16 * 4 + 10 * 5 + 7 * 2);
}

TEST_CASE("a fault shows in the images from its very onset to its very last ms") {
  const auto shows_at = [](const SignalFault& fault, VirtualMs t) {
    Board sound = powered(immediate, plain_field({DigitalIn::start_button}));
    Board faulty = sound;
    REQUIRE(faulty.inject(fault).id);
    for (Board* b : {&sound, &faulty}) {
      b->write_outputs(energise({DigitalOut::k1}, 500));
      b->advance(static_cast<std::uint32_t>(t));
    }
    return seen(sound) != seen(faulty);
  };
  for (const Point p : {Point(DigitalIn::start_button), Point(AnalogIn::te_a),
                        Point(DigitalOut::k1), Point::heater()}) {
    const SignalFault fault{.point = p, .effect = Open{}, .onset_ms = onset, .end_ms = end};
    CAPTURE(name(p));
    CHECK_FALSE(shows_at(fault, onset - 1));
    CHECK(shows_at(fault, onset));
    CHECK(shows_at(fault, end - 1));
    CHECK_FALSE(shows_at(fault, end));
  }
}

TEST_CASE("a bounce shorter than the input filter vanishes, a longer one shows") {
  const auto edges = [](const Bounce& bounce) {
    Board board = powered({.input_filter_ms = 3});
    REQUIRE(board.inject({.point = DigitalIn::door_closed_1, .effect = bounce}).id);
    board.present(plain_field({DigitalIn::door_closed_1}));
    int count = 0;
    std::uint32_t last = 0;
    for (int t = 0; t < 100; ++t) {
      board.advance(1);
      const std::uint32_t now = board.read_inputs().contacts;
      count += now != last;
      last = now;
    }
    CHECK(last == 1U);
    return count;
  };
  CHECK(edges({.period_ms = 4, .duration_ms = 40}) == 1);
  CHECK(edges({.period_ms = 10, .duration_ms = 40}) > 1);
}

TEST_CASE("an intermittent contact comes and goes in the image, within one step of time, too") {
  Board board = powered({.input_filter_ms = 3}, plain_field({DigitalIn::start_button}));
  REQUIRE(board.inject({.point = DigitalIn::start_button, .effect = Intermittent{20, 10}}).id);
  std::vector<bool> each_5_ms;
  for (int i = 0; i < 8; ++i) {
    board.advance(5);
    each_5_ms.push_back(board.read_inputs().energised(DigitalIn::start_button));
  }
  // Open at 0..9 and 20..29 ms; each edge shows at its third ms.
  CHECK(each_5_ms == std::vector{false, false, true, true, false, false, true, true});

  // A gap shorter than the filter time does not show, a gap of its length does.
  for (const std::uint32_t gap : {2U, 3U}) {
    Board other = powered({.input_filter_ms = 3}, plain_field({DigitalIn::start_button}));
    REQUIRE(
        other
            .inject(
                {.point = DigitalIn::start_button, .effect = Intermittent{20, gap}, .onset_ms = 1})
            .id);
    other.advance(3);
    CHECK(other.read_inputs().energised(DigitalIn::start_button) == (gap == 2));
  }
}

TEST_CASE("a fault of the wire reaches the converter only when it converts") {
  Board board = powered({.conversion_period_ms = 100, .watchdog_timeout_ms = 1000});
  REQUIRE(
      board.inject({.point = AnalogIn::te_a, .effect = Open{}, .onset_ms = 10, .end_ms = 90}).id);
  board.advance(100);
  CHECK(board.read_inputs().count(AnalogIn::te_a) == counts_of(AnalogIn::te_a, 20.0));
  REQUIRE(board.inject({.point = AnalogIn::te_a, .effect = Open{}, .onset_ms = 190}).id);
  board.advance(99);
  CHECK(board.read_inputs().count(AnalogIn::te_a) == counts_of(AnalogIn::te_a, 20.0));
  board.advance(1);
  CHECK(board.read_inputs().count(AnalogIn::te_a) == 65'535);
}

TEST_CASE("a fault whose onset has passed acts at once on outputs and at the next ms on inputs") {
  Board board = powered(immediate, plain_field({DigitalIn::start_button}));
  board.write_outputs(energise({DigitalOut::k1}));
  board.advance(50);
  REQUIRE(board.inject({.point = DigitalOut::k1, .effect = Open{}, .onset_ms = 10}).id);
  REQUIRE(board.inject({.point = DigitalIn::start_button, .effect = Open{}, .onset_ms = 10}).id);
  CHECK_FALSE(board.field_outputs().energised(DigitalOut::k1));
  CHECK(board.read_inputs().energised(DigitalIn::start_button));
  board.advance(1);
  CHECK_FALSE(board.read_inputs().energised(DigitalIn::start_button));
}

TEST_CASE("a cleared fault lets the signal through again") {
  Board board = powered(immediate, plain_field({DigitalIn::start_button}));
  board.write_outputs(energise({DigitalOut::k1}));
  const auto k1 = board.inject({.point = DigitalOut::k1, .effect = Open{}});
  const auto start = board.inject({.point = DigitalIn::start_button, .effect = Open{}});
  REQUIRE((k1.id && start.id));
  board.advance(1);
  CHECK(board.clear(*k1.id));
  CHECK(board.field_outputs().energised(DigitalOut::k1));
  CHECK_FALSE(board.clear(*k1.id));
  board.advance(1);
  CHECK_FALSE(board.read_inputs().energised(DigitalIn::start_button));
  board.clear_signal_faults();
  board.advance(1);
  CHECK(board.read_inputs().energised(DigitalIn::start_button));
}

TEST_CASE("the heater drive in the field stays within 0 to 1000 whatever its faults") {
  const auto drive = [](const Effect& effect) {
    Board board = powered();
    REQUIRE(board.inject({.point = Point::heater(), .effect = effect}).id);
    board.write_outputs(energise({}, 500));
    return board.field_outputs().heater_permille;
  };
  CHECK(drive(Offset{100.5}) == 600.5);
  CHECK(drive(Offset{501.0}) == 1000.0);
  CHECK(drive(Offset{-501.0}) == 0.0);
  CHECK(drive(Gain{3.0}) == 1000.0);
}

TEST_CASE("a delayed output follows what was written exactly that much later") {
  Board board = powered();
  REQUIRE(board.inject({.point = DigitalOut::k2, .effect = Delay{25}}).id);
  board.advance(10);
  board.write_outputs(energise({DigitalOut::k2}));
  board.advance(24);
  CHECK_FALSE(board.field_outputs().energised(DigitalOut::k2));
  board.advance(1);
  CHECK(board.field_outputs().energised(DigitalOut::k2));
}

TEST_CASE("wiring faults are limited in number, and those that are over make room") {
  Board board = powered();
  for (std::size_t i = 0; i < Wiring::max_faults; ++i) {
    REQUIRE(board.inject({.point = AnalogIn::te_a, .effect = Open{}, .end_ms = 10}).id);
  }
  const SignalFault one_more{.point = AnalogIn::te_b, .effect = Open{}};
  board.advance(9);
  CHECK(board.inject(one_more).refusal == "there are 64 signal faults already: clear some first");
  board.advance(1);
  CHECK(board.inject(one_more).id);
}

TEST_CASE("a converter that stands still keeps counts and number from onset to before the end") {
  Board sound = powered({.conversion_period_ms = 10});
  Board board = sound;
  board.stop_converter(20, 40);
  std::vector<int> numbers;
  std::vector<bool> current;
  for (int i = 1; i <= 5; ++i) {
    FieldInputs field = plain_field();
    field.set(AnalogIn::te_a, i);
    for (Board* b : {&sound, &board}) {
      b->present(field);
      b->advance(10);
    }
    numbers.push_back(board.read_inputs().conversion);
    current.push_back(board.read_inputs().counts == sound.read_inputs().counts);
  }
  CHECK(numbers == std::vector{2, 2, 2, 3, 4});
  CHECK(current == std::vector{true, false, false, true, true});
}

TEST_CASE("with the converter standing still at power-on there is no conversion") {
  Board board;
  board.present(plain_field());
  board.stop_converter(0);
  board.power_on();
  board.advance(150);
  CHECK(board.read_inputs() == hal::InputImage{});
  CHECK(board.ignored_calls() == 0);
  board.stop_converter(0, 0);
  board.kick_watchdog();
  board.advance(50);
  CHECK(board.read_inputs().conversion == 1);
}

TEST_CASE("a wire fault is there when the power comes") {
  Board board(immediate);
  board.present(plain_field({DigitalIn::start_button, DigitalIn::stop_button}));
  REQUIRE(board.inject({.point = DigitalIn::start_button, .effect = Open{}}).id);
  REQUIRE(board.inject({.point = DigitalIn::stop_button, .effect = Intermittent{10, 5}}).id);
  REQUIRE(board.inject({.point = AnalogIn::te_a, .effect = Open{}}).id);
  board.power_on();
  CHECK(board.read_inputs().contacts == 0);
  CHECK(board.read_inputs().count(AnalogIn::te_a) == 65'535);
}

TEST_CASE("crossed contacts read what either of them presents, one way for each fault") {
  Board board = powered(immediate);
  const auto read = [&](std::initializer_list<DigitalIn> closed) {
    board.present(plain_field(closed));
    board.advance(1);
    const std::uint32_t contacts = board.read_inputs().contacts;
    return std::pair((contacts >> static_cast<unsigned>(DigitalIn::purge_flow) & 1U) != 0,
                     (contacts >> static_cast<unsigned>(DigitalIn::gas_supply_ok) & 1U) != 0);
  };
  CHECK(read({DigitalIn::gas_supply_ok}) == std::pair(false, true));
  REQUIRE(
      board
          .inject({.point = DigitalIn::purge_flow, .effect = CrossedWith{DigitalIn::gas_supply_ok}})
          .id);
  CHECK(read({DigitalIn::gas_supply_ok}) == std::pair(true, true));
  CHECK(read({}) == std::pair(false, false));
  CHECK(read({DigitalIn::purge_flow}) == std::pair(true, false));
  REQUIRE(
      board
          .inject({.point = DigitalIn::gas_supply_ok, .effect = CrossedWith{DigitalIn::purge_flow}})
          .id);
  CHECK(read({DigitalIn::purge_flow}) == std::pair(true, true));
}

TEST_CASE(
    "a wire that delays carries what was commanded before the watchdog bit, in one step or many") {
  const auto driven = [](std::uint32_t step_ms) {
    Board board =
        powered({.conversion_period_ms = 1, .input_filter_ms = 0, .watchdog_timeout_ms = 200});
    REQUIRE(board.inject({.point = DigitalOut::k1, .effect = Delay{20}}).id);
    board.write_outputs(energise({DigitalOut::k1}, 0));
    board.advance(60);
    board.kick_watchdog();
    for (std::uint32_t ms = 0; ms < 210; ms += step_ms) board.advance(step_ms);
    return board.field_outputs();
  };
  CHECK(driven(1).energised(DigitalOut::k1));  // bitten at 200 ms, open 20 ms later
  CHECK(driven(210) == driven(1));
}
