#pragma once
#include <cstddef>
#include <utility>
#include <vector>

#include "sim/machine/error.hpp"

namespace ovenproof::replay {

/// The first errors of a file and how many there were in all: a log of a million bad rows must
/// neither fill the memory nor the screen.
class ErrorList {
 public:
  static constexpr std::size_t most_kept = 20;

  void add(machine::Error error) {
    if (kept_.size() < most_kept) kept_.push_back(std::move(error));
    ++count_;
  }
  void append(const ErrorList& other) {
    for (const machine::Error& error : other.kept_) add(error);
    count_ += other.left_out();
  }
  [[nodiscard]] const std::vector<machine::Error>& kept() const { return kept_; }
  [[nodiscard]] std::size_t count() const { return count_; }
  [[nodiscard]] std::size_t left_out() const { return count_ - kept_.size(); }
  [[nodiscard]] bool empty() const { return count_ == 0; }

 private:
  std::vector<machine::Error> kept_;
  std::size_t count_ = 0;
};

}  // namespace ovenproof::replay
