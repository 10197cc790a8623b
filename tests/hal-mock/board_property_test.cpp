#include <array>
#include <vector>

#include <doctest/doctest.h>

#include "boards.hpp"
#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::mock;
using namespace ovenproof::mock::test;
using ovenproof::test::holds;

namespace {

/// One thing done to a board, from random numbers; every number stands for something that can be
/// done, so that shrinking works.
struct Deed {
  std::uint32_t what = 0;
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  std::uint32_t c = 0;
};

void showValue(const Deed& d, std::ostream& os) {
  os << "{" << d.what << ", " << d.a << ", " << d.b << ", " << d.c << "}";
}

Effect effect_of(std::uint32_t kind, std::uint32_t x, bool binary) {
  const double number = static_cast<double>(x % 2000) / 50.0 - 20.0;
  switch (static_cast<FaultKind>(kind % fault_kind_count)) {
    case FaultKind::delay:
      return Delay{1 + x % 120};
    case FaultKind::bounce:
      return Bounce{2 + x % 8 * 2, 1 + x % 90};
    case FaultKind::gain:
      return Gain{0.25 + static_cast<double>(x % 8) / 4.0};
    case FaultKind::offset:
      return Offset{number};
    case FaultKind::drift:
      return Drift{number * 1e4};
    case FaultKind::noise:
      return Noise{1.0 + x % 5, x};
    case FaultKind::frozen:
      return Frozen{};
    case FaultKind::stuck_at:
      return StuckAt{static_cast<double>(binary ? x % 2 : x % 1000)};
    case FaultKind::crossed_with:
      return CrossedWith{static_cast<hal::DigitalIn>(x % hal::digital_in_count)};
    case FaultKind::short_circuit:
      return ShortCircuit{};
    case FaultKind::intermittent:
      return Intermittent{2 + x % 50, 1 + x % 50 / 2};
    case FaultKind::open:
    case FaultKind::count:
      break;
  }
  return Open{};
}

FieldInputs field_of(const Deed& d) {
  FieldInputs field = plain_field();
  field.contacts = d.a & 0xFFFFU;
  for (std::size_t i = 0; i < field.analog.size(); ++i) {
    field.analog[i] += static_cast<double>((d.b >> i) % 100) / 10.0 - 5.0;
  }
  return field;
}

ClockFault clock_fault_of(const Deed& d, VirtualMs now) {
  ClockFault fault{.effect = ClockStopped{}, .onset_ms = now + d.b % 50};
  fault.end_ms = fault.onset_ms + 1 + d.c % 100;
  if (d.a % 3 == 1) fault.effect = ClockJump{1 + static_cast<std::int32_t>(d.a % 5000) - 2500};
  if (d.a % 3 == 2) fault.effect = ClockDrift{1 + static_cast<std::int32_t>(d.a % 200'000)};
  return fault;
}

using Advance = void (*)(Board&, std::uint32_t ms);
void at_once(Board& board, std::uint32_t ms) { board.advance(ms); }
void by_single_ms(Board& board, std::uint32_t ms) {
  for (std::uint32_t i = 0; i < ms; ++i) board.advance(1);
}

void act(Board& board, const Deed& d, Advance advance) {
  switch (d.what % 16) {
    default:
      // Most scans kick the watchdog, else hardly any script would run for long.
      if (d.c % 16 != 0) board.kick_watchdog();
      return advance(board, d.a % 16 == 0 ? d.b % 250 : d.b % 12);
    case 6:
    case 7:
      return board.present(field_of(d));
    case 8:
    case 9:
      return board.write_outputs({d.a & 0x3FFU, static_cast<std::uint16_t>(d.b % 1001)});
    case 10:
      return board.kick_watchdog();
    case 11:
    case 12: {
      const Point point = *Point::at(d.a % Point::count);
      const VirtualMs onset = board.virtual_ms() + d.c % 60;
      board.inject({.point = point,
                    .effect = effect_of(d.b, d.c, point.is_binary()),
                    .onset_ms = onset,
                    .end_ms = onset + 1 + d.b % 300});
      return;
    }
    case 13:
      if (d.a % 4 == 0) {
        return board.stop_converter(board.virtual_ms() + d.b % 50, board.virtual_ms() + d.c % 300);
      }
      board.inject(clock_fault_of(d, board.virtual_ms()));
      return;
    case 14: {
      if (d.b % 8 == 0) board.store().cut_power_after(d.c % 64);
      const std::array bytes{static_cast<std::byte>(d.c), static_cast<std::byte>(d.b)};
      board.store_write(d.a % NonVolatileStore::size, bytes);
      return;
    }
    case 15:
      switch (d.a % 6) {
        case 0:
          return board.power_off();
        case 1:
          board.clear(static_cast<FaultId>(1 + d.b % 8));
          return;
        default:
          board.power_on();
          return board.restart();
      }
  }
}

/// All that the controller and the field can see.
struct Seen {
  hal::InputImage in;
  FieldOutputs out;
  Milliseconds now;
  bool powered = false;
  bool restart_requested = false;
  friend bool operator==(const Seen&, const Seen&) = default;
};

Seen see(Board& board) {
  return {board.read_inputs(), board.field_outputs(), board.now(), board.powered(),
          board.restart_requested()};
}

std::vector<Seen> play(Board& board, const std::vector<Deed>& deeds, Advance advance = at_once) {
  std::vector<Seen> seen;
  for (const Deed& d : deeds) {
    act(board, d, advance);
    seen.push_back(see(board));
  }
  return seen;
}

rc::Gen<Deed> deed() {
  // At full size from the first case on: by default small cases have small numbers only.
  const auto below = [](std::uint32_t limit) {
    return rc::gen::resize(rc::kNominalSize, rc::gen::inRange<std::uint32_t>(0, limit));
  };
  return rc::gen::build<Deed>(
      rc::gen::set(&Deed::what, below(16)), rc::gen::set(&Deed::a, below(1U << 24U)),
      rc::gen::set(&Deed::b, below(1U << 24U)), rc::gen::set(&Deed::c, below(1U << 24U)));
}

std::vector<Deed> deeds() { return *rc::gen::container<std::vector<Deed>>(150, deed()); }

Board random_board() {
  BoardOptions options;
  options.conversion_period_ms = *rc::gen::element(1U, 7U, 20U, 100U);
  options.input_filter_ms = *rc::gen::element(0U, 1U, 3U, 10U);
  options.watchdog_timeout_ms = *rc::gen::element(50U, 200U, 1000U);
  options.clock_at_start_ms = *rc::gen::element(0U, 0xFFFF'FF00U);
  return powered(options);
}

}  // namespace

TEST_CASE("the random scripts reach what they are meant to reach") {
  int scans = 0;
  int dead_scans = 0;
  int restarts_awaited = 0;
  int faulty_scans = 0;
  CHECK(holds("scripts", 0x5C717, 100, [&] {
    Board board = random_board();
    for (const Deed& d : deeds()) {
      Board sound = board;
      sound.clear_signal_faults();
      act(board, d, at_once);
      act(sound, d, at_once);
      ++scans;
      dead_scans += !board.powered();
      restarts_awaited += board.restart_requested();
      faulty_scans += see(board) != see(sound);
    }
  }));
  CHECK(scans == 15'000);
  CHECK(dead_scans > scans / 50);
  CHECK(dead_scans < scans / 3);
  CHECK(restarts_awaited > scans / 50);
  CHECK(restarts_awaited < scans / 3);
  CHECK(faulty_scans > scans / 5);
}

TEST_CASE("a copy goes on bit for bit as the original, and neither touches the other") {
  CHECK(holds("copies continue alike", 0xC0B1, 600, [] {
    Board board = random_board();
    play(board, deeds());
    Board copy = board;
    const Board kept = board;
    const auto next = deeds();
    const auto of_copy = play(copy, next);
    RC_ASSERT(board == kept);
    const auto of_board = play(board, next);
    RC_ASSERT(of_copy == of_board);
    RC_ASSERT(copy == board);
  }));
}

TEST_CASE("however a span of time is cut into steps, the board ends the same") {
  CHECK(holds("steps do not matter", 0x57E9, 600, [] {
    Board board = random_board();
    Board other = board;
    const auto script = deeds();
    RC_ASSERT(play(board, script, at_once) == play(other, script, by_single_ms));
    RC_ASSERT(board == other);
  }));
}

TEST_CASE("no power, no drive: without power nothing reaches the field under any faults") {
  CHECK(holds("dead board", 0xDEAD, 300, [] {
    Board board = random_board();
    for (const Deed& d : deeds()) {
      act(board, d, at_once);
      RC_ASSERT(board.powered() || board.field_outputs() == FieldOutputs{});
    }
  }));
}

TEST_CASE("outputs without faults are exactly what was last written while running, else nothing") {
  CHECK(holds("outputs follow", 0x0F7, 300, [] {
    Board board = random_board();
    FieldOutputs expected;
    for (Deed d : deeds()) {
      if (d.what == 11 || d.what == 12) d.what = 8;  // writes instead of wiring faults
      const bool running = board.powered() && !board.restart_requested();
      act(board, d, at_once);
      if (running && (d.what == 8 || d.what == 9)) {
        expected = {d.a & 0x3FFU, static_cast<double>(d.b % 1001)};
      }
      if (!board.powered() || board.restart_requested()) expected = {};
      RC_ASSERT(board.field_outputs() == expected);
    }
  }));
}
