#include "sim/evidence/pack.hpp"

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <set>
#include <stdexcept>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "sim/evidence/document.hpp"
#include "sim/evidence/origin.hpp"

namespace ovenproof::evidence {
namespace fs = std::filesystem;
namespace {

using Json = nlohmann::ordered_json;

Json files_json(const std::vector<ListedFile>& files) {
  Json list = Json::array();
  for (const ListedFile& file : files) {
    list.push_back(
        {{"path", file.path}, {"bytes", file.digest.bytes}, {"sha256", file.digest.sha256}});
  }
  return list;
}

/// Names that the manifest in this folder lists; empty if there is none that can be read.
std::set<std::string> listed_in(const fs::path& folder) {
  std::ifstream file(folder / manifest_name, std::ios::binary);
  const Json json = Json::parse(file, nullptr, false);
  if (!json.is_object() || json.value("format", Json()) != document_format) return {};
  std::set<std::string> names{manifest_name};
  const Json outputs = json.value("outputs", Json::array());
  for (const Json& each : outputs) {
    if (each.is_object() && each.contains("path") && each["path"].is_string()) {
      names.insert(each["path"].get<std::string>());
    }
  }
  return names;
}

void write(const fs::path& path, std::string_view text) {
  std::ofstream file(path, std::ios::binary);
  file << text;
  file.close();
  if (!file) throw std::runtime_error(fmt::format("cannot write {}", path.string()));
}

}  // namespace

std::string manifest_json(const Manifest& manifest) {
  Json libraries = Json::object();
  for (const auto& [library, version] : library_versions()) libraries[library] = version;
  const Json json{{"format", document_format},
                  {"version", document_version},
                  {"program", "ovenproof " + std::string(program_version())},
                  {"build",
                   {{"program_sources_sha256", program_sources},
                    {"firmware_sources_sha256", firmware_sources}}},
                  {"libraries", std::move(libraries)},
                  {"command", manifest.command},
                  {"arguments", manifest.arguments},
                  {"date", manifest.stated_date},
                  {"inputs", files_json(manifest.inputs)},
                  {"outputs", files_json(manifest.outputs)}};
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

std::vector<std::string> not_listed(const fs::path& folder, const std::set<std::string>& listed) {
  std::vector<std::string> others;
  for (auto at = fs::recursive_directory_iterator(folder); at != fs::end(at); ++at) {
    const std::string name = at->path().lexically_relative(folder).generic_string();
    if (listed.contains(name)) continue;
    const auto next = listed.lower_bound(name + '/');
    const bool on_the_way = next != listed.end() && next->starts_with(name + '/');
    if (on_the_way && fs::is_directory(at->symlink_status())) continue;
    others.push_back(name);
    if (at->is_directory()) at.disable_recursion_pending();
  }
  std::sort(others.begin(), others.end());
  return others;
}

void check_replaceable(const fs::path& folder) {
  if (!fs::exists(fs::symlink_status(folder))) return;
  if (!fs::is_directory(folder)) {
    throw std::runtime_error(fmt::format("{} is there and is no folder", folder.string()));
  }
  if (fs::is_empty(folder)) return;
  const std::set<std::string> listed = listed_in(folder);
  if (listed.empty()) {
    throw std::runtime_error(
        fmt::format("{} is neither empty nor an evidence pack: nothing was written; give "
                    "another folder",
                    folder.string()));
  }
  for (const std::string& name : not_listed(folder, listed)) {
    throw std::runtime_error(
        fmt::format("{} is an evidence pack, but it also holds {}, which would be lost: move it, "
                    "or give another folder",
                    folder.string(), name));
  }
}

PackWriter::PackWriter(fs::path folder) : folder_(std::move(folder)) {
  check_replaceable(folder_);
  std::error_code failure;
  // A name of its own in the folder above, whatever was given: "pack/", ".", a link.
  const fs::path whole = fs::weakly_canonical(fs::absolute(folder_), failure);
  if (!failure) folder_ = whole;
  if (!folder_.has_filename()) folder_ = folder_.parent_path();
  const fs::path parent = folder_.parent_path();
  fs::create_directories(parent, failure);
  if (failure) throw std::runtime_error(fmt::format("cannot make a folder in {}", parent.string()));
  part_.emplace(parent, folder_.filename().string() + ".part-");
  // A temporary folder is private; a pack is to be handed over.
  fs::permissions(part_->path(), fs::perms::owner_all | fs::perms::group_read |
                                     fs::perms::group_exec | fs::perms::others_read |
                                     fs::perms::others_exec);
}

fs::path PackWriter::path_of(const std::string& name) {
  names_.push_back(name);
  const fs::path path = part_->path() / name;
  fs::create_directories(path.parent_path());
  return path;
}

void PackWriter::add(const std::string& name, std::string_view text) { write(path_of(name), text); }

void PackWriter::finish(Manifest manifest) {
  std::sort(names_.begin(), names_.end());
  for (const std::string& name : names_) {
    manifest.outputs.push_back({name, digest::digest_of(part_->path() / name)});
  }
  write(part_->path() / manifest_name, manifest_json(manifest));
  // Once more: the folder may have been filled while the work went on.
  check_replaceable(folder_);
  part_->become(folder_);
  part_.reset();
}

}  // namespace ovenproof::evidence
