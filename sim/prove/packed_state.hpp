#pragma once
#include <cstdint>

#include "firmware/logic/logic.hpp"

/// The logic's state in fixed bits, so that equal states are equal words.
namespace ovenproof::prove {

/// A state of the logic together with the memories of what is to be proved.
struct Key {
  std::uint64_t logic = 0;    ///< pack()
  std::uint64_t history = 0;  ///< of the properties' operators

  friend constexpr bool operator==(const Key&, const Key&) = default;
};

/// Every bit that can tell two states of the logic apart, and no other.
[[nodiscard]] std::uint64_t pack(const logic::LogicState& state);

/// The inverse of pack().
[[nodiscard]] logic::LogicState unpack(std::uint64_t bits);

/// The cause that stands for all that the logic treats alike as a first-out: it asks whether there
/// is one and whether it puts the temperature in doubt, and nothing else.
[[nodiscard]] logic::Cause representative(logic::Cause first_out);

/// Another trip that the logic treats alike as a first-out, if it treats first-outs as
/// representative() says; none for none.
[[nodiscard]] logic::Cause another_like(logic::Cause first_out);

/// The same state with the representative of its first-out. States with the same one go the same
/// ways, which every exploration checks (ScanGraph::first_outs_differ(), Rerun).
[[nodiscard]] std::uint64_t with_representative(std::uint64_t bits);

/// Spreads a key over all 64 bits.
[[nodiscard]] constexpr std::uint64_t hash_of(const Key& key) {
  // Two rounds of the finaliser of splitmix64, constants
  // from memory: Steele et al., OOPSLA 2014: check against the source.
  const auto mix = [](std::uint64_t z) {
    z = (z ^ z >> 30) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ z >> 27) * 0x94D049BB133111EBULL;
    return z ^ z >> 31;
  };
  return mix(key.logic + 0x9E3779B97F4A7C15ULL + mix(key.history + 0x9E3779B97F4A7C15ULL));
}

}  // namespace ovenproof::prove
