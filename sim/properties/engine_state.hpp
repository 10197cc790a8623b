#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "sim/properties/margin_key.hpp"

/// What the operators of a running program remember. Private to this library.
namespace ovenproof::properties {

/// A margin with the leaf or clock it comes from, and the scan since which that had this value.
struct Value {
  Key key = 0;
  std::uint32_t origin = 0;
  std::uint32_t scan = 0;
};

/// A double-ended queue in one block, which grows to the most it has held.
template <typename T>
class Ring {
 public:
  [[nodiscard]] bool empty() const { return size_ == 0; }
  [[nodiscard]] std::size_t size() const { return size_; }
  T& operator[](std::size_t i) { return data_[(head_ + i) & (data_.size() - 1)]; }
  T& front() { return data_[head_]; }
  T& back() { return (*this)[size_ - 1]; }

  void push_back(const T& item) {
    if (size_ == data_.size()) grow();
    ++size_;
    back() = item;
  }
  void pop_front() {
    head_ = (head_ + 1) & (data_.size() - 1);
    --size_;
  }
  void pop_back() { --size_; }

 private:
  void grow() {
    std::vector<T> larger(std::max<std::size_t>(4, 2 * data_.size()));
    for (std::size_t i = 0; i < size_; ++i) larger[i] = (*this)[i];
    data_.swap(larger);
    head_ = 0;
  }

  std::vector<T> data_;
  std::size_t head_ = 0;
  std::size_t size_ = 0;
};

/// Best operand of the last scans, each lowered by what followed it (window_since).
///
/// `past` is a wedge: a run of equal values is one entry with the last scan it was seen, and an
/// entry that a later one equals or beats is dropped, so keys fall from front to back. A two-valued
/// operand never makes more than one entry.
struct WindowState {
  struct Entry {
    Value value;
    std::int64_t last = 0;
  };
  Ring<Entry> past;
  Value current;
  bool begun = false;
};

/// A value that comes out `width` scans after it went in; only changes are stored.
struct DelayState {
  struct Entry {
    Value value;
    std::uint32_t due = 0;
  };
  Ring<Entry> queue;
  Key newest = 0;
  bool begun = false;
};

/// Least hold and best reachable goal over a run of scans: what `until` needs of it. Runs join
/// associatively, so a window is two stacks of them.
struct UntilState {
  struct Run {
    Value goal;
    Value hold;
  };
  std::vector<Run> older;  ///< each with all between it and the stack's bottom, oldest on top
  std::vector<Run> newer;  ///< single scans
  Run newer_sum;
};

/// Of a clock or a verdict.
struct ClockState {
  std::int64_t since = -1;  ///< scan at which what is timed began; -1: it has not
  std::int64_t longest = 0;
  Value second;
  std::uint32_t anchor = 0;  ///< scan for which the verdict's value was found
  double previous = 0.0;
  bool begun = false;
};

}  // namespace ovenproof::properties
