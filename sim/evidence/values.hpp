#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "firmware/logic/matrix.hpp"

/// Small things that several sections say.
namespace ovenproof::evidence {

/// The value with that many significant digits, so that it prints short; infinities stay.
double rounded(double value, int digits);

inline double seconds(std::uint64_t ms) { return static_cast<double>(ms) / 1000.0; }

/// Names of the outputs in the set.
std::vector<std::string> names_of(logic::OutputSet outputs);

/// The machine has the row of the matrix.
bool fitted(logic::Needs needs, const logic::Options& options);

}  // namespace ovenproof::evidence
