#pragma once
#include "sim/prove/adversary.hpp"

namespace ovenproof::prove {

/// Facts of one scan as they were read, for taking its steps again. Any other fact is false, and it
/// is noted that one was asked for.
class FixedFacts {
 public:
  explicit FixedFacts(const Reading& reading) : reading_(reading) {}

  /// For the logic to read from; valid while this lives.
  [[nodiscard]] logic::Facts reader() const { return {this, read}; }
  /// A fact was asked for that the reading does not know.
  [[nodiscard]] bool guessed() const { return guessed_; }

 private:
  static bool read(const void* self, logic::Fact fact) {
    const auto& facts = *static_cast<const FixedFacts*>(self);
    if ((facts.reading_.known & bit(fact)) == 0) facts.guessed_ = true;
    return (facts.reading_.value & bit(fact)) != 0;
  }

  Reading reading_;
  mutable bool guessed_ = false;
};

}  // namespace ovenproof::prove
