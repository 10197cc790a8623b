#pragma once
#include <filesystem>

#include "sim/replay/result.hpp"

namespace ovenproof::replay {

/// Writes the excerpts of a result's first findings to a folder, which is made if need be, and
/// enters their names. Each file takes its name only when it is whole. Throws std::runtime_error
/// if one cannot be written.
void write_excerpts(const std::filesystem::path& log, const std::filesystem::path& folder,
                    ReplayResult& result);

}  // namespace ovenproof::replay
