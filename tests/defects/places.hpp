#pragma once
#include <array>
#include <concepts>
#include <cstddef>
#include <cstdint>
#include <type_traits>

/// What the altered copy of the firmware calls at each place that can be broken. The copy has all
/// defects compiled in; which one is awake is chosen at run time by its number.
///
/// While recording, nothing is broken: each place notes whether its defect would have made a
/// difference there and then. A case in which it never does need not be run for that defect.
namespace ovenproof::defects {

inline constexpr int none = 0;        ///< the firmware as it ships
inline constexpr int recording = -1;  ///< as it ships, noting what each defect would change

/// The defect that is awake, `none` or `recording`.
inline constinit int chosen = none;

inline bool taking_notes() { return chosen == recording; }

inline constexpr unsigned char come_to = 1;
inline constexpr unsigned char differs = 2;  ///< its defect would have changed something
/// What was noted of each place.
inline constinit std::array<unsigned char, 65536> notes{};

/// The matrix notes, too, while a defect is awake beside which its cells are to be broken.
inline constinit bool noting_the_matrix = false;
/// Rows of the matrix that may have latched what is latched: those that came since the last reset.
/// All, where what is latched came before notes were taken.
inline constinit std::uint64_t ripened = 0;

inline void note(int place, bool would_differ) {
  notes[static_cast<std::size_t>(place)] |= would_differ ? come_to | differs : come_to;
}

/// Whether two values of the type can be told from each other.
template <class T>
inline constexpr bool comparable = std::equality_comparable<T>;
template <class T, std::size_t n>  // has an operator whatever it holds
inline constexpr bool comparable<std::array<T, n>> = comparable<T>;

/// A statement: false if it is to be left out.
constexpr bool keep(int place) {
  if (std::is_constant_evaluated()) return true;
  if (taking_notes()) note(place, true);
  return chosen != place;
}

/// A truth that may be turned round.
constexpr bool flip(int place, bool sound) {
  if (std::is_constant_evaluated()) return sound;
  if (taking_notes()) note(place, true);
  return sound != (chosen == place);
}

/// A condition that may be forced.
constexpr bool decide(int forced_true, int forced_false, bool sound) {
  if (std::is_constant_evaluated()) return sound;
  if (taking_notes()) {
    note(forced_true, !sound);
    note(forced_false, sound);
  }
  return chosen == forced_true || (chosen != forced_false && sound);
}

/// `left && right` that may become `left || right`. `pure`: the right side may be evaluated where
/// the sound one would not, to see whether it matters.
template <bool pure, class Left, class Right>
constexpr bool both(int place, Left left, Right right) {
  if (std::is_constant_evaluated() || !taking_notes()) {
    if (!std::is_constant_evaluated() && chosen == place) return left() || right();
    return left() && right();
  }
  if (left()) {
    const bool sound = right();
    note(place, !sound);
    return sound;
  }
  if constexpr (pure) {
    note(place, right());
  } else {
    note(place, true);
  }
  return false;
}

/// `left || right` that may become `left && right`.
template <bool pure, class Left, class Right>
constexpr bool any(int place, Left left, Right right) {
  if (std::is_constant_evaluated() || !taking_notes()) {
    if (!std::is_constant_evaluated() && chosen == place) return left() && right();
    return left() || right();
  }
  if (!left()) {
    const bool sound = right();
    note(place, sound);
    return sound;
  }
  if constexpr (pure) {
    note(place, !right());
  } else {
    note(place, true);
  }
  return true;
}

enum class Relation : std::uint8_t { less, less_equal, greater, greater_equal, equal, not_equal };

template <Relation relation, class A, class B>
constexpr bool holds(const A& a, const B& b) {
  if constexpr (relation == Relation::less) return a < b;
  if constexpr (relation == Relation::less_equal) return a <= b;
  if constexpr (relation == Relation::greater) return a > b;
  if constexpr (relation == Relation::greater_equal) return a >= b;
  if constexpr (relation == Relation::equal) return a == b;
  if constexpr (relation == Relation::not_equal) return a != b;
}

/// A comparison that may be made another.
template <Relation relation, Relation broken, class A, class B>
constexpr bool compare(int place, const A& a, const B& b) {
  const bool sound = holds<relation>(a, b);
  if (std::is_constant_evaluated()) return sound;
  if (taking_notes()) note(place, sound != holds<broken>(a, b));
  return chosen == place ? holds<broken>(a, b) : sound;
}

/// The same for `<`, `<=`, `>`, `>=`, which may also be moved by their bound.
template <Relation relation, Relation bound, Relation broken, class A, class B>
constexpr bool compare(int bound_place, int place, const A& a, const B& b) {
  if (!std::is_constant_evaluated()) {
    if (taking_notes()) note(bound_place, holds<relation>(a, b) != holds<bound>(a, b));
    if (chosen == bound_place) return holds<bound>(a, b);
  }
  return compare<relation, broken>(place, a, b);
}

/// Stands beside a statement that changes `target`, which may be left out.
template <class T>
class Change {
 public:
  constexpr Change(int place, const T& target) : place_(place), target_(target), before_(target) {}
  Change(const Change&) = delete;
  Change& operator=(const Change&) = delete;
  constexpr ~Change() {
    if (!std::is_constant_evaluated() && taking_notes()) note(place_, changed());
  }
  [[nodiscard]] constexpr bool kept() const {
    return std::is_constant_evaluated() || chosen != place_;
  }

 private:
  [[nodiscard]] constexpr bool changed() const {
    if constexpr (comparable<T>) return !(before_ == target_);
    return true;
  }

  int place_;
  const T& target_;
  T before_;
};

/// What is remembered from scan to scan, and may be lost: `initial` is what it then is.
template <class T>
constexpr void lose(int place, T& memory, const T& initial) {
  if (std::is_constant_evaluated()) return;
  if (taking_notes()) {
    if constexpr (comparable<T>) {
      note(place, !(memory == initial));
    } else {
      note(place, true);
    }
  }
  if (chosen == place) memory = initial;
}

/// A timer that may be elapsed as soon as it runs (`place` plus twice its index), or never (the
/// place after).
constexpr bool timer(int place, std::size_t index, bool runs, bool elapsed) {
  if (std::is_constant_evaluated()) return runs && elapsed;
  const int at_once = place + 2 * static_cast<int>(index);
  const int never = at_once + 1;
  if (taking_notes()) {
    note(at_once, runs && !elapsed);
    note(never, runs && elapsed);
  }
  return runs && chosen != never && (elapsed || chosen == at_once);
}

}  // namespace ovenproof::defects
