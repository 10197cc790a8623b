#include <algorithm>
#include <array>
#include <vector>

#include <doctest/doctest.h>

#include "substitute_logic.hpp"

/// The explorer against machines whose numbers of states and shortest runs are published. All
/// figures and sources are
/// from memory: textbooks and papers, named at each test: check against the source.
using namespace ovenproof;
using namespace ovenproof::prove::test;

namespace {

/// Seen by properties as command.k1.
constexpr Field done{0};

Examined solved(const Machine& machine) { return examine(machine, {"never command.k1"}); }

}  // namespace

// É. Lucas, "Récréations mathématiques", 1883: n discs need 2^n - 1 moves; every one of the 3^n
// arrangements can be come to.
TEST_CASE("towers of Hanoi: 3^n arrangements, 2^n - 1 moves to the last peg and none is farther") {
  for (const unsigned discs : {3U, 5U, 7U}) {
    CAPTURE(discs);
    const auto peg = [](unsigned disc) { return Field{8 + 2 * disc, 2}; };
    const auto smallest_on = [&](std::uint32_t state, unsigned where) {
      unsigned disc = 0;
      while (disc < discs && peg(disc).of(state) != where) ++disc;
      return disc;
    };
    const Machine machine{0, [&](std::uint32_t state, const logic::Facts& facts) {
                            Chooser choose(facts);
                            const unsigned from = choose(3);
                            const unsigned to = (from + 1 + choose(2)) % 3;
                            const unsigned moved = smallest_on(state, from);
                            if (moved >= smallest_on(state, to)) return state;
                            state = peg(moved).put(state, to);
                            bool all = true;
                            for (unsigned d = 0; d < discs; ++d) all = all && peg(d).of(state) == 2;
                            return done.put(state, all ? 1 : 0);
                          }};
    const Examined e = solved(machine);
    unsigned arrangements = 1;
    for (unsigned i = 0; i < discs; ++i) arrangements *= 3;
    CHECK(e.states == arrangements);
    CHECK(e.depth == (1U << discs) - 1);
    CHECK(e.verdicts[0].violated_after == (1U << discs) - 1);
  }
}

// The river crossing of the "Propositiones ad acuendos juvenes" ascribed to Alcuin (9th century):
// seven crossings; of the 16 arrangements ten are safe, and all of those can be come to.
TEST_CASE("wolf, goat and cabbage: ten safe arrangements, seven crossings") {
  // 1: on the far bank.
  constexpr Field man{8};
  constexpr Field wolf{9};
  constexpr Field goat{10};
  constexpr Field cabbage{11};
  const Machine machine{
      0, [&](std::uint32_t state, const logic::Facts& facts) {
        Chooser choose(facts);
        const std::array<Field, 4> takes{man, wolf, goat, cabbage};  // himself: nothing
        const Field taken = takes[choose(4)];
        if (taken.of(state) != man.of(state)) return state;
        const unsigned over = 1 - man.of(state);
        const std::uint32_t next = taken.put(man.put(state, over), over);
        const bool eaten =
            goat.of(next) != over && (wolf.of(next) != over || cabbage.of(next) != over);
        if (eaten) return state;
        const bool all =
            over == 1 && wolf.of(next) == 1 && goat.of(next) == 1 && cabbage.of(next) == 1;
        return done.put(next, all ? 1 : 0);
      }};
  const Examined e = solved(machine);
  CHECK(e.states == 10);
  CHECK(e.verdicts[0].violated_after == 7);
}

// S. Amarel, "On representations of problems of reasoning about actions", Machine Intelligence 3,
// 1968: eleven crossings; 16 of the 20 allowed arrangements can be come to.
TEST_CASE("three missionaries and three cannibals: 16 arrangements, eleven crossings") {
  constexpr Field missionaries{8, 2};  // on the near bank
  constexpr Field cannibals{10, 2};
  constexpr Field boat{12};  // 1: at the far bank
  const auto outnumbered = [](unsigned m, unsigned c) { return m > 0 && c > m; };
  const Machine machine{cannibals.put(missionaries.put(0, 3), 3),
                        [&](std::uint32_t state, const logic::Facts& facts) {
                          Chooser choose(facts);
                          constexpr std::array<std::array<unsigned, 2>, 5> loads{
                              {{1, 0}, {2, 0}, {0, 1}, {0, 2}, {1, 1}}};
                          const auto [m, c] = loads[choose(5)];
                          const bool back = boat.of(state) == 1;
                          const unsigned near_m = missionaries.of(state);
                          const unsigned near_c = cannibals.of(state);
                          if (back ? near_m + m > 3 || near_c + c > 3 : near_m < m || near_c < c)
                            return state;
                          const unsigned next_m = back ? near_m + m : near_m - m;
                          const unsigned next_c = back ? near_c + c : near_c - c;
                          if (outnumbered(next_m, next_c) || outnumbered(3 - next_m, 3 - next_c))
                            return state;
                          const std::uint32_t next = boat.put(
                              cannibals.put(missionaries.put(state, next_m), next_c), back ? 0 : 1);
                          return done.put(next, next_m + next_c == 0 ? 1 : 0);
                        }};
  const Examined e = solved(machine);
  // Of the allowed ones these can be come to; the one with all on the far bank is the goal.
  CHECK(e.states == 16);
  CHECK(e.verdicts[0].violated_after == 11);
}

// The two jugs of 3 and 5 measures: an old puzzle, six pourings for four measures. What can be come
// to is what has one jug full or empty: 2 * (5 - 1 + 3 - 1) + 4 = 16.
TEST_CASE("jugs of three and five: 16 fillings, four measures after six pourings") {
  constexpr Field small{8, 2};
  constexpr Field big{10, 3};
  const Machine machine{0, [&](std::uint32_t state, const logic::Facts& facts) {
                          Chooser choose(facts);
                          unsigned s = small.of(state);
                          unsigned b = big.of(state);
                          const unsigned into_big = std::min(s, 5 - b);
                          const unsigned into_small = std::min(b, 3 - s);
                          switch (choose(6)) {
                            case 0:
                              s = 3;
                              break;
                            case 1:
                              b = 5;
                              break;
                            case 2:
                              s = 0;
                              break;
                            case 3:
                              b = 0;
                              break;
                            case 4:
                              s -= into_big;
                              b += into_big;
                              break;
                            default:
                              b -= into_small;
                              s += into_small;
                          }
                          return done.put(big.put(small.put(state, s), b), b == 4 ? 1 : 0);
                        }};
  const Examined e = solved(machine);
  CHECK(e.states == 16);
  CHECK(e.verdicts[0].violated_after == 6);
}

// A. Reinefeld, "Complete solution of the eight-puzzle and the benefit of node ordering in IDA*",
// IJCAI 1993: 9!/2 = 181 440 positions; the hardest need 31 moves, and there are two of them. Known
// since P. Schofield, 1967.
TEST_CASE("the eight-puzzle: 181 440 positions, the two farthest 31 moves away") {
  constexpr Field position{8, 19};        // rank of the permutation in lexicographic order
  using Board = std::array<unsigned, 9>;  // 0: the gap
  const auto unranked = [](std::uint32_t rank) {
    Board board{};
    std::vector<unsigned> left{0, 1, 2, 3, 4, 5, 6, 7, 8};
    std::uint32_t ways = 40320;  // 8!
    for (unsigned i = 0; i < 9; ++i) {
      const auto at = left.begin() + rank / ways;
      board[i] = *at;
      left.erase(at);
      rank %= ways;
      if (i < 8) ways /= 8 - i;
    }
    return board;
  };
  const auto ranked = [](const Board& board) {
    std::uint32_t rank = 0;
    for (unsigned i = 0; i < 9; ++i) {
      unsigned smaller = 0;
      for (unsigned j = i + 1; j < 9; ++j) smaller += board[j] < board[i] ? 1 : 0;
      rank = rank * (9 - i) + smaller;
    }
    return rank;
  };
  // The ordered board with the gap in the first corner has rank 0.
  const Machine machine{
      0, [&](std::uint32_t state, const logic::Facts& facts) {
        Chooser choose(facts);
        const unsigned way = choose(4);
        Board board = unranked(position.of(state));
        unsigned gap = 0;
        while (board[gap] != 0) ++gap;
        const std::array<bool, 4> open{gap >= 3, gap < 6, gap % 3 != 0, gap % 3 != 2};
        if (!open[way]) return state;
        constexpr std::array<int, 4> step{-3, 3, -1, 1};
        std::swap(board[gap], board[gap + static_cast<unsigned>(step[way])]);
        return position.put(state, ranked(board));
      }};
  const Examined e = examine(machine, {});
  CHECK(e.states == 181'440);
  CHECK(e.depth == 31);
  CHECK(e.farthest == 2);
}
