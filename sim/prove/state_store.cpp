#include "sim/prove/state_store.hpp"

#include <stdexcept>

namespace ovenproof::prove {
namespace {

constexpr std::size_t first_slots = 1U << 10;

/// Above this share of slots in use the table doubles.
constexpr bool too_full(std::size_t used, std::size_t slots) { return used * 10 > slots * 7; }

}  // namespace

StateStore::StateStore() : table_(first_slots, none) {}

std::size_t StateStore::slot_of(const Key& wanted) const {
  const std::size_t mask = table_.size() - 1;
  std::size_t slot = hash_of(wanted) & mask;
  while (table_[slot] != none && key(table_[slot]) != wanted) slot = (slot + 1) & mask;
  return slot;
}

bool StateStore::contains(const Key& wanted) const { return table_[slot_of(wanted)] != none; }

bool StateStore::add(const Key& added, Index from) {
  const std::size_t slot = slot_of(added);
  if (table_[slot] != none) return false;
  if (size_ >= none) throw std::length_error("more states than can be numbered");
  if (size_ % per_block == 0) blocks_.push_back(std::make_unique<Block>());
  blocks_.back()->keys[size_ % per_block] = added;
  blocks_.back()->parents[size_ % per_block] = from;
  table_[slot] = static_cast<Index>(size_++);
  if (too_full(size_, table_.size())) grow();
  return true;
}

void StateStore::grow() {
  std::vector<Index>(2 * table_.size(), none).swap(table_);
  for (std::size_t i = 0; i < size_; ++i) {
    const auto state = static_cast<Index>(i);
    table_[slot_of(key(state))] = state;
  }
}

std::size_t StateStore::bytes() const {
  return blocks_.size() * sizeof(Block) + table_.size() * sizeof(Index);
}

std::size_t StateStore::bytes_with(std::size_t more) const {
  const std::size_t states = size_ + more;
  std::size_t slots = table_.size();
  while (too_full(states, slots)) slots *= 2;
  const std::size_t old_table = slots > table_.size() ? slots / 2 : 0;  // both while it is refilled
  return (states / per_block + 1) * sizeof(Block) + (slots + old_table) * sizeof(Index);
}

}  // namespace ovenproof::prove
