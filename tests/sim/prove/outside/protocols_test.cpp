#include <array>

#include <doctest/doctest.h>

#include "substitute_logic.hpp"

/// The explorer against textbook algorithms of concurrency, right ones and ones with known bugs.
/// All figures and sources are
/// from memory: textbooks and papers, named at each test: check against the source.
using namespace ovenproof;
using namespace ovenproof::prove::test;

namespace {

// Two processes; told as outputs: who is in the critical section.
constexpr std::array inside{Field{0}, Field{1}};
const std::string exclusion = "never (command.k1 and command.k2)";
const std::string first_enters = "never command.k1";
const std::string second_enters = "never command.k2";

/// Each process has a place in its programme and a flag; there is one more variable.
constexpr std::array place{Field{8, 3}, Field{11, 3}};
constexpr std::array flag{Field{16}, Field{17}};
constexpr Field turn{18};

/// One step of either process, atomic.
template <class Step>
Machine two_processes(std::uint32_t initial, unsigned critical, Step step) {
  return {initial, [critical, step](std::uint32_t state, const logic::Facts& facts) {
            Chooser choose(facts);
            const unsigned me = choose(2);
            state = step(state, me, 1 - me);
            for (const unsigned p : {0U, 1U}) {
              state = inside[p].put(state, place[p].of(state) == critical ? 1 : 0);
            }
            return state;
          }};
}

struct Exclusive {
  std::size_t states;
  std::optional<std::size_t> both_after;  ///< steps until both are inside
  std::optional<std::size_t> first_after;
  std::optional<std::size_t> second_after;
};

Exclusive judged(const Machine& machine) {
  const Examined e = examine(machine, {exclusion, first_enters, second_enters});
  return {e.states, e.verdicts[0].violated_after, e.verdicts[1].violated_after,
          e.verdicts[2].violated_after};
}

}  // namespace

// C. Baier, J.-P. Katoen, "Principles of Model Checking", MIT Press 2008, example 2.24: a
// semaphore; eight states.
TEST_CASE("mutual exclusion by a semaphore: eight states, never both") {
  const Exclusive e = judged(two_processes(0, 2, [](std::uint32_t s, unsigned me, unsigned) {
    switch (place[me].of(s)) {
      case 0:
        return place[me].put(s, 1);
      case 1:
        return turn.of(s) == 0 ? turn.put(place[me].put(s, 2), 1) : s;
      default:
        return turn.put(place[me].put(s, 0), 0);
    }
  }));
  CHECK(e.states == 8);
  CHECK_FALSE(e.both_after.has_value());
  CHECK(e.first_after == 2);
  CHECK(e.second_after == 2);
}

// G. L. Peterson, "Myths about the mutual exclusion problem", 1981. As modelled in Baier and
// Katoen, example 2.25, with flag and turn set in one step: ten states.
TEST_CASE("Peterson's algorithm with its two assignments in one step: ten states, never both") {
  const Exclusive e = judged(two_processes(0, 2, [](std::uint32_t s, unsigned me, unsigned other) {
    switch (place[me].of(s)) {
      case 0:
        return turn.put(flag[me].put(place[me].put(s, 1), 1), other);
      case 1:
        return flag[other].of(s) == 0 || turn.of(s) == me ? place[me].put(s, 2) : s;
      default:
        return flag[me].put(place[me].put(s, 0), 0);
    }
  }));
  CHECK(e.states == 10);
  CHECK_FALSE(e.both_after.has_value());
  CHECK(e.first_after == 2);
  CHECK(e.second_after == 2);
}

namespace {

/// Peterson's algorithm step by step, its two assignments in either order.
Machine peterson(bool flag_first) {
  return two_processes(0, 3, [flag_first](std::uint32_t s, unsigned me, unsigned other) {
    switch (place[me].of(s)) {
      case 0:
        s = flag_first ? flag[me].put(s, 1) : turn.put(s, other);
        return place[me].put(s, 1);
      case 1:
        s = flag_first ? turn.put(s, other) : flag[me].put(s, 1);
        return place[me].put(s, 2);
      case 2:
        return flag[other].of(s) == 0 || turn.of(s) == me ? place[me].put(s, 3) : s;
      default:
        return flag[me].put(place[me].put(s, 0), 0);
    }
  });
}

}  // namespace

// The bug is an exercise of many textbooks: set turn, then flag, and both get in.
TEST_CASE("Peterson's algorithm: never both, but after six steps with its assignments swapped") {
  const Exclusive right = judged(peterson(true));
  CHECK_FALSE(right.both_after.has_value());
  CHECK(right.first_after == 3);
  const Exclusive swapped = judged(peterson(false));
  // turn by one; turn, flag and in by the other; flag and in by the one.
  CHECK(swapped.both_after == 6);
}

// T. J. Dekker's algorithm, in E. W. Dijkstra, "Cooperating sequential processes", 1965.
TEST_CASE("Dekker's algorithm: never both, and each gets in") {
  const Exclusive e = judged(two_processes(0, 5, [](std::uint32_t s, unsigned me, unsigned other) {
    switch (place[me].of(s)) {
      case 0:
        return place[me].put(flag[me].put(s, 1), 1);
      case 1:
        return place[me].put(s, flag[other].of(s) == 0 ? 5 : 2);
      case 2:
        return place[me].put(s, turn.of(s) == me ? 1 : 3);
      case 3:
        return place[me].put(flag[me].put(s, 0), 4);
      case 4:
        return turn.of(s) == me ? place[me].put(flag[me].put(s, 1), 1) : s;
      default:
        return place[me].put(turn.put(flag[me].put(s, 0), other), 0);
    }
  }));
  CHECK_FALSE(e.both_after.has_value());
  CHECK(e.first_after == 2);
  CHECK(e.second_after == 2);
}

// H. Hyman, "Comments on a problem in concurrent programming control", Communications of the ACM 9
// (1966) 1; D. E. Knuth showed in the same journal, 9 (1966) 5, that both can be inside.
TEST_CASE("Hyman's algorithm lets both in, after seven steps") {
  const Exclusive e = judged(two_processes(0, 4, [](std::uint32_t s, unsigned me, unsigned other) {
    switch (place[me].of(s)) {
      case 0:
        return place[me].put(flag[me].put(s, 1), 1);
      case 1:
        return place[me].put(s, turn.of(s) == me ? 4 : 2);
      case 2:
        return flag[other].of(s) == 0 ? place[me].put(s, 3) : s;
      case 3:
        return place[me].put(turn.put(s, me), 1);
      default:
        return place[me].put(flag[me].put(s, 0), 0);
    }
  }));
  // The one whose turn it is not: flag, turn looked at, other's flag looked at. The other: flag,
  // in. The one: turn taken, in.
  CHECK(e.both_after == 7);
}

namespace {

/// Dining philosophers (E. W. Dijkstra, 1965; told so by C. A. R. Hoare): each takes the left fork,
/// then the right, and puts both back. `left_handed`: the last one takes them the other way round.
/// command.k1: nobody can move.
Machine philosophers(unsigned count, bool left_handed) {
  const auto holds = [](unsigned p) { return Field{8 + 2 * p, 2}; };  // forks taken so far
  const auto fork = [=](unsigned p, unsigned n) {
    const bool swapped = left_handed && p + 1 == count;
    return (p + (swapped ? 1 - n : n)) % count;
  };
  const auto taken = [=](std::uint32_t state, unsigned which) {
    for (unsigned p = 0; p < count; ++p) {
      for (unsigned n = 0; n < holds(p).of(state); ++n) {
        if (fork(p, n) == which) return true;
      }
    }
    return false;
  };
  const auto moved = [=](std::uint32_t state, unsigned p) {
    const unsigned n = holds(p).of(state);
    if (n == 2) return holds(p).put(state, 0);
    return taken(state, fork(p, n)) ? state : holds(p).put(state, n + 1);
  };
  return {0, [=](std::uint32_t state, const logic::Facts& facts) {
            Chooser choose(facts);
            state = moved(state, choose(count));
            bool dead = true;
            for (unsigned p = 0; p < count; ++p) dead = dead && moved(state, p) == state;
            return Field{0}.put(state, dead ? 1 : 0);
          }};
}

}  // namespace

// Who holds two forks has a neighbour with none: the arrangements are the closed walks of length n
// over {none, one, two} in which none follows two. Their number obeys a(n) = 2 a(n-1) + a(n-2) from
// 2 and 6: the companion Pell numbers (N. J. A. Sloane's encyclopaedia of integer sequences,
// A002203).
TEST_CASE("dining philosophers: companion Pell numbers of states, stuck after one fork each") {
  std::size_t before = 2;
  std::size_t states = 6;
  for (unsigned count = 3; count <= 7; ++count) {
    CAPTURE(count);
    const std::size_t next = 2 * states + before;
    before = states;
    states = next;
    const Examined e = examine(philosophers(count, false), {"never command.k1"});
    CHECK(e.states == states);
    CHECK(e.verdicts[0].violated_after == count);
    const Examined cured = examine(philosophers(count, true), {"never command.k1"});
    CHECK_FALSE(cured.verdicts[0].violated_after.has_value());
  }
}

namespace {

/// What is left out of the alternating bit protocol.
enum class Without { nothing, bit_at_receiver, bit_at_sender };

/// K. A. Bartlett, R. A. Scantlebury, P. T. Wilkinson, "A note on reliable full-duplex transmission
/// over half-duplex links", Communications of the ACM 12 (1969) 5. Both channels hold one message
/// and may lose it; messages are numbered modulo 3. command.k1: one was lost or taken twice.
Machine alternating_bit(Without without) {
  constexpr Field wrong{0};
  constexpr Field sending{8, 2};
  constexpr Field sender_bit{10};
  constexpr Field expected{11, 2};
  constexpr Field receiver_bit{13};  // of the message that it waits for
  constexpr Field message{14};       // in the channel
  constexpr Field message_number{15, 2};
  constexpr Field message_bit{17};
  constexpr Field receipt{18};
  constexpr Field receipt_bit{19};
  return {
      0, [=](std::uint32_t s, const logic::Facts& facts) {
        Chooser choose(facts);
        switch (choose(5)) {
          case 0:  // send, for the first time or again
            s = message_number.put(message.put(s, 1), sending.of(s));
            return message_bit.put(s, sender_bit.of(s));
          case 1:
            return message.put(s, 0);
          case 2:
            return receipt.put(s, 0);
          case 3:  // the receiver takes a message and acknowledges it
            if (message.of(s) == 0) return s;
            s = receipt_bit.put(receipt.put(s, 1), message_bit.of(s));
            if (message_bit.of(s) == receiver_bit.of(s) || without == Without::bit_at_receiver) {
              if (message_number.of(s) != expected.of(s)) s = wrong.put(s, 1);
              s = expected.put(s, (expected.of(s) + 1) % 3);
              s = receiver_bit.put(s, 1 - receiver_bit.of(s));
            }
            return message.put(s, 0);
          default:  // the sender takes a receipt
            if (receipt.of(s) == 0) return s;
            if (receipt_bit.of(s) == sender_bit.of(s) || without == Without::bit_at_sender) {
              s = sending.put(s, (sending.of(s) + 1) % 3);
              s = sender_bit.put(s, 1 - sender_bit.of(s));
            }
            return receipt.put(s, 0);
        }
      }};
}

}  // namespace

TEST_CASE("the alternating bit protocol loses and doubles nothing, but without its bit it does") {
  const auto wrong_after = [](Without without) {
    return examine(alternating_bit(without), {"never command.k1"}).verdicts[0].violated_after;
  };
  CHECK_FALSE(wrong_after(Without::nothing).has_value());
  // Sent, taken, sent again, taken again.
  CHECK(wrong_after(Without::bit_at_receiver) == 4);
  CHECK(wrong_after(Without::bit_at_sender).has_value());
}
