#pragma once
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "sim/prove/packed_state.hpp"

namespace ovenproof::prove {

/// The states found so far, numbered in the order in which they were found, each with the one it
/// was found from. 26 to 32 bytes a state. Looking up is safe from several threads while nobody
/// adds.
class StateStore {
 public:
  using Index = std::uint32_t;
  static constexpr Index none = UINT32_MAX;

  StateStore();

  /// Adds the state unless it is there; true if it was added. Throws std::length_error beyond 2^32
  /// - 2 states.
  bool add(const Key& key, Index parent);
  [[nodiscard]] bool contains(const Key& key) const;

  [[nodiscard]] std::size_t size() const { return size_; }
  [[nodiscard]] const Key& key(Index state) const {
    return blocks_[state / per_block]->keys[state % per_block];
  }
  /// `none` for a state that the exploration began with.
  [[nodiscard]] Index parent(Index state) const {
    return blocks_[state / per_block]->parents[state % per_block];
  }
  /// Bytes taken up.
  [[nodiscard]] std::size_t bytes() const;
  /// Most bytes that adding `more` states can need at a time.
  [[nodiscard]] std::size_t bytes_with(std::size_t more) const;

 private:
  static constexpr std::size_t per_block = 1U << 9;
  struct Block {
    Key keys[per_block];
    Index parents[per_block];
  };

  [[nodiscard]] std::size_t slot_of(const Key& key) const;
  void grow();

  std::vector<std::unique_ptr<Block>> blocks_;
  std::vector<Index> table_;  ///< open addressing, linear probing, a power of two
  std::size_t size_ = 0;
};

}  // namespace ovenproof::prove
