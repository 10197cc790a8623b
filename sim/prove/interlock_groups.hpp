#pragma once
#include <vector>

#include "sim/prove/interlocks.hpp"

/// The parts that interlocks() is made of, each for one thing that can go wrong.
namespace ovenproof::prove {

[[nodiscard]] std::vector<Interlock> interlocks_of_heat(const logic::Options& options);
[[nodiscard]] std::vector<Interlock> interlocks_of_gas(const logic::Options& options);
[[nodiscard]] std::vector<Interlock> interlocks_of_jacket(const logic::Options& options);
[[nodiscard]] std::vector<Interlock> interlocks_of_start(const logic::Options& options,
                                                         const Delays& delays);
[[nodiscard]] std::vector<Interlock> interlocks_of_timers(const logic::Options& options);
[[nodiscard]] std::vector<Interlock> interlocks_of_trips(const logic::Options& options,
                                                         const Delays& delays);
[[nodiscard]] std::vector<Interlock> interlocks_of_cycle_end();

}  // namespace ovenproof::prove
