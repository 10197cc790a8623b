#pragma once
#include <array>
#include <atomic>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <mutex>
#include <utility>
#include <vector>

namespace ovenproof::prove {

/// Entries with numbers, found by their hash. Threads find without waiting for each other, and add
/// one at a time. Entries never move and never change. Numbers depend on who came first.
template <class Entry>
class SharedTable {
 public:
  static constexpr std::uint32_t none = UINT32_MAX;

  SharedTable() { clear(); }

  /// The number of the entry with this hash for which `is(entry)` holds, or none. One that another
  /// thread adds meanwhile may be missed.
  template <class Is>
  [[nodiscard]] std::uint32_t find(std::uint64_t hash, Is is) const {
    return search(*slots_.load(std::memory_order_acquire), hash, is);
  }

  /// The entry's number; the number of the one for which `is` holds if there is one by now.
  template <class Is>
  std::uint32_t add(std::uint64_t hash, Entry entry, Is is) {
    const std::lock_guard lock(mutex_);
    const std::uint32_t known = search(*made_.back(), hash, is);
    if (known != none) return known;
    const auto number = static_cast<std::uint32_t>(hashes_.size());
    const Place place = place_of(number);
    if (!chunks_[place.chunk])
      chunks_[place.chunk] = std::make_unique<Entry[]>(size_of(place.chunk));
    chunks_[place.chunk][place.index] = std::move(entry);
    hashes_.push_back(hash);
    count_.store(hashes_.size(), std::memory_order_release);
    if (2 * hashes_.size() > made_.back()->size()) {
      grow();
    } else {
      insert(*made_.back(), hash, number);
    }
    return number;
  }

  /// An entry by a number that this thread was given.
  [[nodiscard]] const Entry& operator[](std::uint32_t number) const {
    const Place place = place_of(number);
    return chunks_[place.chunk][place.index];
  }
  [[nodiscard]] std::size_t size() const { return count_.load(std::memory_order_acquire); }

  /// Forgets all. Not while another thread looks.
  void clear() {
    chunks_ = {};
    hashes_.clear();
    count_ = 0;
    made_.clear();
    made_.push_back(fresh(fewest));
    slots_ = made_.back().get();
  }

 private:
  using Slots = std::vector<std::atomic<std::uint32_t>>;
  static constexpr std::size_t fewest = 64;
  static constexpr unsigned smallest_chunk =
      6;  ///< as a power of two; each is twice the one before

  struct Place {
    std::size_t chunk;
    std::size_t index;
  };
  static Place place_of(std::uint32_t number) {
    const std::uint64_t at = std::uint64_t{number} + (std::uint64_t{1} << smallest_chunk);
    const auto power = static_cast<unsigned>(std::bit_width(at)) - 1;
    return {power - smallest_chunk, at - (std::uint64_t{1} << power)};
  }
  static std::size_t size_of(std::size_t chunk) {
    return std::size_t{1} << (chunk + smallest_chunk);
  }

  static std::unique_ptr<Slots> fresh(std::size_t size) {
    auto slots = std::make_unique<Slots>(size);
    for (std::atomic<std::uint32_t>& slot : *slots) slot.store(none, std::memory_order_relaxed);
    return slots;
  }

  template <class Is>
  std::uint32_t search(const Slots& slots, std::uint64_t hash, Is is) const {
    const std::size_t mask = slots.size() - 1;
    for (std::size_t at = hash & mask;; at = (at + 1) & mask) {
      const std::uint32_t number = slots[at].load(std::memory_order_acquire);
      if (number == none || is((*this)[number])) return number;
    }
  }

  static void insert(Slots& slots, std::uint64_t hash, std::uint32_t number) {
    const std::size_t mask = slots.size() - 1;
    std::size_t at = hash & mask;
    while (slots[at].load(std::memory_order_relaxed) != none) at = (at + 1) & mask;
    slots[at].store(number,
                    std::memory_order_release);  // with it all that was written of the entry
  }

  /// Others may still be looking in the old slots: they are kept.
  void grow() {
    auto more = fresh(4 * made_.back()->size());
    for (std::uint32_t i = 0; i < hashes_.size(); ++i) insert(*more, hashes_[i], i);
    made_.push_back(std::move(more));
    slots_.store(made_.back().get(), std::memory_order_release);
  }

  std::mutex mutex_;
  std::array<std::unique_ptr<Entry[]>, 32 - smallest_chunk + 1> chunks_;
  std::vector<std::uint64_t> hashes_;
  std::vector<std::unique_ptr<Slots>> made_;  ///< the last is in use
  std::atomic<const Slots*> slots_{nullptr};
  std::atomic<std::size_t> count_{0};
};

}  // namespace ovenproof::prove
