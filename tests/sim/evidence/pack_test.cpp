#include "sim/evidence/pack.hpp"

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <unistd.h>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "sim/evidence/origin.hpp"

namespace ovenproof::evidence {
namespace {

namespace fs = std::filesystem;

/// A folder of its own for one test.
class Scratch {
 public:
  Scratch() : path_(fs::temp_directory_path() / ("ovenproof_pack_" + std::to_string(::getpid()))) {
    fs::remove_all(path_);
    fs::create_directories(path_);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch() { fs::remove_all(path_); }
  [[nodiscard]] fs::path operator/(const char* name) const { return path_ / name; }
  [[nodiscard]] std::size_t entries() const {
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator(path_), fs::directory_iterator()));
  }

 private:
  fs::path path_;
};

std::string text_of(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

void write(const fs::path& path, const std::string& text) { std::ofstream(path) << text; }

void write_pack(const fs::path& folder, const std::string& text) {
  PackWriter pack(folder);
  pack.add("b.txt", text);
  write(pack.path_of("a.txt"), "by somebody else");
  Manifest manifest;
  manifest.command = "some command";
  manifest.inputs.push_back({"machine.yaml", {3, digest::sha256("abc")}});
  pack.finish(manifest);
}

TEST_CASE("a pack lists every output with its size and hash, by name") {
  const Scratch scratch;
  write_pack(scratch / "pack", "hello");
  const auto manifest = nlohmann::json::parse(text_of(scratch / "pack/manifest.json"));
  REQUIRE(manifest["outputs"].size() == 2);
  CHECK(manifest["outputs"][0]["path"] == "a.txt");
  CHECK(manifest["outputs"][1]["path"] == "b.txt");
  CHECK(manifest["outputs"][1]["bytes"] == 5);
  CHECK(manifest["outputs"][1]["sha256"] == digest::sha256("hello"));
  CHECK(manifest["inputs"][0]["path"] == "machine.yaml");
  CHECK(manifest["build"]["firmware_sources_sha256"] == firmware_sources);
  CHECK(std::string(firmware_sources).size() == 64);
  CHECK(std::string(firmware_sources) != program_sources);
  CHECK(scratch.entries() == 1);
}

TEST_CASE("a pack takes the place of an older one as a whole") {
  const Scratch scratch;
  write_pack(scratch / "pack", "old");
  {
    PackWriter pack(scratch / "pack");
    pack.add("c.txt", "new");
    CHECK(text_of(scratch / "pack/b.txt") == "old");
    pack.finish({});
  }
  CHECK(text_of(scratch / "pack/c.txt") == "new");
  CHECK_FALSE(fs::exists(scratch / "pack/b.txt"));
  CHECK(scratch.entries() == 1);
}

TEST_CASE("a pack that is not finished leaves nothing, and an older one as it was") {
  const Scratch scratch;
  write_pack(scratch / "pack", "old");
  {
    PackWriter pack(scratch / "pack");
    pack.add("b.txt", "half");
  }
  CHECK(text_of(scratch / "pack/b.txt") == "old");
  CHECK(scratch.entries() == 1);
}

TEST_CASE("a folder that is no pack is left alone, and so is a pack with files of somebody else") {
  const Scratch scratch;
  const auto refused = [&scratch](const std::string& why) {
    CAPTURE(why);
    try {
      const PackWriter pack(scratch / "pack");
      FAIL("was not refused");
    } catch (const std::runtime_error& error) {
      CHECK(std::string(error.what()).find(why) != std::string::npos);
    }
  };
  fs::create_directories(scratch / "pack");
  write(scratch / "pack/mine.txt", "precious");
  refused("neither empty nor an evidence pack");
  write(scratch / "pack/manifest.json", "{\"format\": \"something else\", \"outputs\": []}");
  refused("neither empty nor an evidence pack");
  write(scratch / "pack/manifest.json", "[not json");
  refused("neither empty nor an evidence pack");
  CHECK(text_of(scratch / "pack/mine.txt") == "precious");
  fs::remove_all(scratch / "pack");

  write_pack(scratch / "pack", "old");
  write(scratch / "pack/notes.txt", "precious");
  refused("also holds notes.txt");
  CHECK(text_of(scratch / "pack/notes.txt") == "precious");
  fs::remove_all(scratch / "pack");

  write(scratch / "pack", "a file");
  refused("is no folder");
}

TEST_CASE("an empty folder may be used, and folders above it are made") {
  const Scratch scratch;
  fs::create_directories(scratch / "pack");
  write_pack(scratch / "pack", "one");
  CHECK(fs::exists(scratch / "pack/manifest.json"));
  write_pack(scratch / "below/it/pack/", "two");
  CHECK(text_of(scratch / "below/it/pack/b.txt") == "two");
}

}  // namespace
}  // namespace ovenproof::evidence
