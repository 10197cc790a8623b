#include "sim/evidence/read_pack.hpp"

#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <unistd.h>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "sim/evidence/origin.hpp"

namespace ovenproof::evidence {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

class Folder {
 public:
  Folder() : path_(fs::temp_directory_path() / ("ovenproof_read_" + std::to_string(::getpid()))) {
    fs::remove_all(path_);
    fs::create_directories(path_);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() { fs::remove_all(path_); }
  void write(const std::string& text) const {
    std::ofstream(path_ / manifest_name, std::ios::binary) << text;
  }
  [[nodiscard]] const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

Manifest some_manifest() {
  Manifest manifest;
  manifest.command = "ovenproof evidence oven.yaml";
  manifest.arguments = {"evidence", "oven.yaml"};
  manifest.stated_date = "one day";
  manifest.inputs = {{"../oven.yaml", {3, digest::sha256("abc")}}};
  manifest.outputs = {{"cycle.csv", {5, digest::sha256("hello")}}};
  return manifest;
}

std::string why_not(const Folder& folder) {
  try {
    (void)read_manifest(folder.path());
    return "it was read";
  } catch (const std::runtime_error& error) {
    return error.what();
  }
}

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

TEST_CASE("a manifest reads as it was written") {
  const Folder folder;
  folder.write(manifest_json(some_manifest()));
  const StatedManifest stated = read_manifest(folder.path());
  CHECK(stated.program_sources == program_sources);
  CHECK(stated.firmware_sources == firmware_sources);
  CHECK(stated.libraries == library_versions());
  CHECK(manifest_json(stated.manifest) == manifest_json(some_manifest()));
}

TEST_CASE("what is no manifest is refused, and everything that is wrong with one told at once") {
  const Folder folder;
  CHECK(has(why_not(folder), "manifest.json is not there"));
  for (const char* const text : {"", "[not json", "[]", "{}", R"({"format": "another"})"}) {
    CAPTURE(text);
    folder.write(text);
    CHECK(has(why_not(folder), "is not the manifest of an evidence pack"));
  }
  Json json = Json::parse(manifest_json(some_manifest()));
  json["version"] = 7;
  json["build"]["firmware_sources_sha256"] = "short";
  json["arguments"] = {"evidence", 3};
  json["libraries"] = 5;
  json["inputs"][0].erase("sha256");
  json["outputs"] = "none";
  json.erase("date");
  folder.write(json.dump());
  const std::string why = why_not(folder);
  for (const char* const part :
       {"/version: expected 1", "/build/firmware_sources_sha256: expected a SHA-256",
        "/arguments:", "/libraries:", "/inputs/0:", "/outputs:", "/date: expected a text"}) {
    CAPTURE(part);
    CHECK(has(why, part));
  }
}

TEST_CASE("a name of an output that leads out of the folder is refused") {
  const Folder folder;
  for (const std::string name : {"../secret", "/etc/passwd", "..", "", ".", "a/b", "a\\b",
                                 "inputs/../a", "inputs//a", "inputs/", "inputs/./a"}) {
    CAPTURE(name);
    Manifest manifest = some_manifest();
    manifest.outputs[0].path = name;
    folder.write(manifest_json(manifest));
    CHECK(has(why_not(folder), "/outputs/0: expected name in the folder"));
  }
}

}  // namespace
}  // namespace ovenproof::evidence
