#pragma once
#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>

namespace ovenproof::digest {

/// SHA-256 (FIPS 180-4) of a text, 64 lower-case hexadecimal digits.
std::string sha256(std::string_view text);

/// Size and hash of a file.
struct FileDigest {
  std::uint64_t bytes = 0;
  std::string sha256;
};

/// Reads the file once. Throws std::runtime_error, naming it, if it cannot be read.
FileDigest digest_of(const std::filesystem::path& path);

}  // namespace ovenproof::digest
