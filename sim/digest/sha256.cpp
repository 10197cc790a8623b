#include "sim/digest/sha256.hpp"

#include <array>
#include <fstream>
#include <sodium.h>
#include <stdexcept>
#include <vector>

#include <fmt/format.h>

namespace ovenproof::digest {
namespace {

/// A hash in the making.
class Hash {
 public:
  Hash() { crypto_hash_sha256_init(&state_); }
  void add(std::string_view bytes) {
    crypto_hash_sha256_update(&state_, reinterpret_cast<const unsigned char*>(bytes.data()),
                              bytes.size());
  }
  std::string digits() {
    std::array<unsigned char, crypto_hash_sha256_BYTES> bytes{};
    crypto_hash_sha256_final(&state_, bytes.data());
    std::string text;
    for (const unsigned char byte : bytes) text += fmt::format("{:02x}", byte);
    return text;
  }

 private:
  crypto_hash_sha256_state state_{};
};

}  // namespace

std::string sha256(std::string_view text) {
  Hash hash;
  hash.add(text);
  return hash.digits();
}

FileDigest digest_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  FileDigest digest;
  Hash hash;
  std::vector<char> block(1 << 16);
  while (file) {
    file.read(block.data(), static_cast<std::streamsize>(block.size()));
    const auto count = static_cast<std::size_t>(file.gcount());
    hash.add({block.data(), count});
    digest.bytes += count;
  }
  if (!file.eof() || file.bad()) {
    throw std::runtime_error(fmt::format("cannot read {}", path.string()));
  }
  digest.sha256 = hash.digits();
  return digest;
}

}  // namespace ovenproof::digest
