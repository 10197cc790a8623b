#pragma once
#include <cstdint>
#include <optional>

#include "firmware/controller/configuration.hpp"
#include "firmware/logic/matrix.hpp"

namespace ovenproof::evidence {

/// When a row of the matrix acts, from the moment its cause shows at the terminals, ms.
struct Reaction {
  std::uint32_t conditioning_ms = 0;  ///< debounce, or the time an instrument takes to be sure
  std::uint32_t delay_ms = 0;         ///< of the row
  std::uint32_t latest_ms = 0;        ///< at most: one scan may just miss it, one does it
};

/// Nothing for rows whose time depends on the process or on how they are brought about.
std::optional<Reaction> reaction_of(const logic::Row& row,
                                    const controller::Configuration& configuration);

}  // namespace ovenproof::evidence
