#include "hal-mock/non_volatile_store.hpp"

#include <algorithm>

namespace ovenproof::mock {

bool NonVolatileStore::read(std::size_t offset, std::span<std::byte> into) const {
  if (failing_ || !in_range(offset, into.size())) return false;
  std::copy_n(bytes_.begin() + static_cast<std::ptrdiff_t>(offset), into.size(), into.begin());
  return true;
}

NonVolatileStore::Written NonVolatileStore::write(std::size_t offset,
                                                  std::span<const std::byte> from) {
  if (failing_ || !in_range(offset, from.size())) return Written::refused;
  const bool torn = bytes_until_cut_ && *bytes_until_cut_ < from.size();
  const std::size_t length = torn ? *bytes_until_cut_ : from.size();
  std::copy_n(from.begin(), length, bytes_.begin() + static_cast<std::ptrdiff_t>(offset));
  ++writes_;
  if (torn) {
    bytes_until_cut_.reset();
    return Written::torn;
  }
  if (bytes_until_cut_) *bytes_until_cut_ -= length;
  return Written::whole;
}

bool NonVolatileStore::flip(std::size_t offset, std::byte mask) {
  if (offset >= size) return false;
  bytes_[offset] ^= mask;
  return true;
}

}  // namespace ovenproof::mock
