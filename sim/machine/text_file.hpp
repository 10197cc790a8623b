#pragma once
#include <cstddef>
#include <filesystem>
#include <string>
#include <variant>

#include "sim/machine/error.hpp"

namespace ovenproof::machine {

/// No machine file needs to be longer, in bytes.
inline constexpr std::size_t longest_file = 256 * 1024;

/// The bytes of a file of at most `longest_file` bytes, or why they cannot be had: missing,
/// unreadable, a directory, too long. Never reads more than the limit, whatever the file claims.
std::variant<std::string, Error> read_text_file(const std::filesystem::path& path);

}  // namespace ovenproof::machine
