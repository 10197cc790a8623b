#include "sim/replay/excerpt.hpp"

#include <algorithm>
#include <fstream>
#include <stdexcept>
#include <vector>

#include <fmt/format.h>

#include "sim/replay/replay.hpp"

namespace ovenproof::replay {
namespace {

namespace fs = std::filesystem;

void copy(std::ifstream& from, ByteRange range, std::ofstream& to) {
  std::vector<char> buffer(64 * 1024);
  from.clear();
  from.seekg(static_cast<std::streamoff>(range.begin));
  for (std::uint64_t left = range.end - range.begin; left > 0 && from;) {
    from.read(buffer.data(),
              static_cast<std::streamsize>(std::min<std::uint64_t>(left, buffer.size())));
    to.write(buffer.data(), from.gcount());
    left -= static_cast<std::uint64_t>(from.gcount());
  }
}

/// The head of the log as it is, then the rows.
void write_excerpt(std::ifstream& log, std::uint64_t head, ByteRange rows, const fs::path& path) {
  fs::path part = path;
  part += ".part";
  std::ofstream file(part, std::ios::binary | std::ios::trunc);
  copy(log, {0, head}, file);
  copy(log, rows, file);
  file.close();
  if (!file) {
    std::error_code ignored;
    fs::remove(part, ignored);
    throw std::runtime_error(fmt::format("cannot write {}", part.string()));
  }
  fs::rename(part, path);
}

}  // namespace

void write_excerpts(const fs::path& log, const fs::path& folder, ReplayResult& result) {
  std::error_code failure;
  fs::create_directories(folder, failure);
  if (failure) {
    throw std::runtime_error(
        fmt::format("cannot make the folder {}: {}", folder.string(), failure.message()));
  }
  std::ifstream in(log, std::ios::binary);
  const std::uint64_t head = result.layout.head.next_begin;
  std::size_t written = 0;
  const auto write = [&](ByteRange rows, const std::string& name) {
    if (written >= most_excerpts) return std::string();
    const fs::path path = folder / fmt::format("{:02}_{}.csv", ++written, name);
    write_excerpt(in, head, rows, path);
    return path.string();
  };
  for (FoundDifference& found : result.differences) {
    found.excerpt = write(found.rows, fmt::format("{}_line_{}", name_of(found.difference.output),
                                                  found.difference.line));
  }
  for (BrokenProperty& found : result.broken) {
    found.excerpt =
        write(found.rows, fmt::format("{}_line_{}", result.judged[found.property].id, found.line));
  }
}

}  // namespace ovenproof::replay
