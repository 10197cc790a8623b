#include "sim/evidence/read_pack.hpp"

#include <algorithm>
#include <fstream>
#include <stdexcept>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "sim/evidence/document.hpp"
#include "sim/evidence/input_tree.hpp"

namespace ovenproof::evidence {
namespace fs = std::filesystem;
namespace {

using Json = nlohmann::ordered_json;

bool is_hash(const Json& json) {
  if (!json.is_string()) return false;
  const auto& text = json.get_ref<const std::string&>();
  return text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

/// The name of a file in the folder, or below that of its inputs: it cannot lead out of it.
bool is_name_within(const std::string& name) {
  if (name.find_first_of(std::string_view("\\\0", 2)) != std::string::npos) return false;
  if (name.find('/') != std::string::npos && !name.starts_with(inputs_folder + std::string("/"))) {
    return false;
  }
  for (std::size_t begin = 0; begin <= name.size();) {
    const std::size_t end = std::min(name.find('/', begin), name.size());
    const std::string part = name.substr(begin, end - begin);
    if (part.empty() || part == "." || part == "..") return false;
    begin = end + 1;
  }
  return true;
}

/// Reads what is there, and keeps what is wrong with the rest.
class Reader {
 public:
  explicit Reader(const Json& root) : root_(root) {}

  std::string text(const char* pointer, bool hash = false) {
    const Json* json = at(pointer);
    if (json == nullptr || (hash ? !is_hash(*json) : !json->is_string())) {
      complain(pointer, hash ? "a SHA-256, 64 digits" : "a text");
      return {};
    }
    return json->get<std::string>();
  }

  std::vector<std::string> texts(const char* pointer) {
    const Json* json = at(pointer);
    std::vector<std::string> all;
    bool good = json != nullptr && json->is_array();
    for (std::size_t i = 0; good && i < json->size(); ++i) {
      good = (*json)[i].is_string();
      if (good) all.push_back((*json)[i].get<std::string>());
    }
    if (!good) complain(pointer, "a list of texts");
    return all;
  }

  std::vector<ListedFile> files(const char* pointer, bool in_the_pack) {
    const Json* json = at(pointer);
    std::vector<ListedFile> all;
    if (json == nullptr || !json->is_array()) {
      complain(pointer, "a list of files");
      return all;
    }
    for (std::size_t i = 0; i < json->size(); ++i) {
      const Json& one = (*json)[i];
      const bool good = one.is_object() && one.contains("path") && one["path"].is_string() &&
                        one.contains("bytes") && one["bytes"].is_number_unsigned() &&
                        one.contains("sha256") && is_hash(one["sha256"]);
      if (!good || (in_the_pack && !is_name_within(one["path"].get<std::string>()))) {
        complain(fmt::format("{}/{}", pointer, i),
                 in_the_pack ? "name in the folder, bytes and sha256 of a file"
                             : "path, bytes and sha256 of a file");
        continue;
      }
      all.push_back({one["path"].get<std::string>(),
                     {one["bytes"].get<std::uint64_t>(), one["sha256"].get<std::string>()}});
    }
    return all;
  }

  std::vector<std::pair<std::string, std::string>> libraries(const char* pointer) {
    const Json* json = at(pointer);
    std::vector<std::pair<std::string, std::string>> all;
    bool good = json != nullptr && json->is_object();
    if (good) {
      for (const auto& [name, version] : json->items()) {
        good = good && version.is_string();
        if (good) all.emplace_back(name, version.get<std::string>());
      }
    }
    if (!good) complain(pointer, "versions of libraries");
    return all;
  }

  void complain(const std::string& where, const std::string& expected) {
    problems_ += fmt::format("{}{}: expected {}", problems_.empty() ? "" : "; ", where, expected);
  }
  [[nodiscard]] const std::string& problems() const { return problems_; }

 private:
  [[nodiscard]] const Json* at(const char* pointer) const {
    const Json::json_pointer place{pointer};
    return root_.contains(place) ? &root_.at(place) : nullptr;
  }
  const Json& root_;
  std::string problems_;
};

}  // namespace

std::string read_pack_file(const fs::path& path) {
  constexpr std::uintmax_t most = std::uintmax_t{1} << 30;
  std::error_code failure;
  if (!fs::is_regular_file(path, failure)) {
    throw std::runtime_error(fmt::format("{} is not there, or is no file", path.string()));
  }
  if (fs::file_size(path, failure) > most || failure) {
    throw std::runtime_error(fmt::format("{} is larger than 1 GiB", path.string()));
  }
  std::ifstream file(path, std::ios::binary);
  std::string text(std::istreambuf_iterator<char>(file), {});
  if (!file || file.bad()) throw std::runtime_error(fmt::format("cannot read {}", path.string()));
  return text;
}

StatedManifest read_manifest(const fs::path& folder) {
  const fs::path path = folder / manifest_name;
  const Json json = Json::parse(read_pack_file(path), nullptr, false);
  if (!json.is_object() || json.value("format", Json()) != document_format) {
    throw std::runtime_error(
        fmt::format("{} is not the manifest of an evidence pack", path.string()));
  }
  Reader reader(json);
  if (json.value("version", Json()) != document_version) {
    reader.complain("/version", std::to_string(document_version));
  }
  StatedManifest stated;
  stated.program = reader.text("/program");
  stated.program_sources = reader.text("/build/program_sources_sha256", true);
  stated.firmware_sources = reader.text("/build/firmware_sources_sha256", true);
  stated.libraries = reader.libraries("/libraries");
  stated.manifest.command = reader.text("/command");
  stated.manifest.arguments = reader.texts("/arguments");
  stated.manifest.stated_date = reader.text("/date");
  stated.manifest.inputs = reader.files("/inputs", false);
  stated.manifest.outputs = reader.files("/outputs", true);
  if (!reader.problems().empty()) {
    throw std::runtime_error(fmt::format("{}: {}", path.string(), reader.problems()));
  }
  return stated;
}

}  // namespace ovenproof::evidence
