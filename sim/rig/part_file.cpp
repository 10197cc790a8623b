#include "sim/rig/part_file.hpp"

#include <stdexcept>
#include <utility>

#include <fmt/format.h>

namespace ovenproof::rig {

PartFile::PartFile(std::filesystem::path path) : path_(std::move(path)), part_(path_) {
  if (!path_.has_filename() || std::filesystem::is_directory(path_)) {
    throw std::runtime_error(
        fmt::format("cannot write {}: not the name of a file", path_.string()));
  }
  part_ += ".part";
  file_.open(part_, std::ios::binary | std::ios::trunc);
  if (!file_) throw std::runtime_error(fmt::format("cannot write {}", part_.string()));
  ours_ = true;
}

PartFile::~PartFile() {
  if (!ours_) return;
  file_.close();
  std::error_code ignored;
  std::filesystem::remove(part_, ignored);
}

void PartFile::flush() {
  file_ << std::flush;
  if (!file_) throw std::runtime_error(fmt::format("cannot write {}", part_.string()));
}

void PartFile::finish() {
  file_.close();
  if (!file_) throw std::runtime_error(fmt::format("cannot write {}", part_.string()));
  std::filesystem::rename(part_, path_);
  ours_ = false;
}

}  // namespace ovenproof::rig
