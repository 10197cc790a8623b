#include "sim/digest/sha256.hpp"

#include <filesystem>
#include <fstream>
#include <string>

#include <doctest/doctest.h>

namespace ovenproof::digest {
namespace {

// Examples published by NIST with the standard,
// from memory: FIPS 180-4, examples of SHA-256: check against the standard.
TEST_CASE("SHA-256 agrees with the examples of its standard") {
  CHECK(sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  CHECK(sha256(std::string(1'000'000, 'a')) ==
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("a file has the hash of its bytes, whatever its size") {
  const auto path = std::filesystem::temp_directory_path() / "ovenproof_sha256_test";
  for (const std::size_t size :
       {std::size_t{0}, std::size_t{1}, std::size_t{65536}, std::size_t{200'001}}) {
    const std::string text(size, 'x');
    std::ofstream(path, std::ios::binary) << text;
    const FileDigest digest = digest_of(path);
    CHECK(digest.bytes == size);
    CHECK(digest.sha256 == sha256(text));
  }
  std::filesystem::remove(path);
}

TEST_CASE("a file that is not there is named") {
  CHECK_THROWS_WITH(digest_of("no/such/file"), "cannot read no/such/file");
}

}  // namespace
}  // namespace ovenproof::digest
