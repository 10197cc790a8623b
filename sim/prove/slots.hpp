#pragma once
#include <algorithm>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace ovenproof::prove {

/// An index into what an open-addressing table refers to; the table itself knows only slots.
class Slots {
 public:
  static constexpr std::uint32_t empty = UINT32_MAX;

  /// Empties the table, with room for at least `items`.
  void clear(std::size_t items = 0) {
    slots_.assign(std::bit_ceil(std::max(fewest, 4 * items)), empty);
  }

  /// The slot of an item with this hash for which `same(index)` holds, or the empty one for it.
  template <class Same>
  std::uint32_t& find(std::uint64_t hash, Same same) {
    const std::size_t mask = slots_.size() - 1;
    std::size_t slot = hash & mask;
    while (slots_[slot] != empty && !same(slots_[slot])) slot = (slot + 1) & mask;
    return slots_[slot];
  }

  /// Makes room if `items` fill more than half; `hash_at(index)` gives the hash of each.
  template <class HashAt>
  void grow_for(std::size_t items, HashAt hash_at) {
    if (2 * items <= slots_.size()) return;
    clear(items);
    for (std::uint32_t i = 0; i < items; ++i) {
      find(hash_at(i), [](std::uint32_t) { return false; }) = i;
    }
  }

 private:
  static constexpr std::size_t fewest = 64;
  std::vector<std::uint32_t> slots_;
};

}  // namespace ovenproof::prove
