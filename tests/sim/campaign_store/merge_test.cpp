#include <doctest/doctest.h>
#include <fmt/format.h>

#include "generated.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign_store;
using namespace ovenproof::test;

namespace {

using Paths = std::vector<std::filesystem::path>;

Paths write_shards(const Folder& folder, const Generated& all, std::uint32_t count,
                   const std::string& prefix = "part") {
  Paths paths;
  for (std::uint32_t i = 1; i <= count; ++i) {
    paths.push_back(folder / fmt::format("{}{}.db", prefix, i));
    write_whole(paths.back(), all, {i, count}, i);
  }
  return paths;
}

}  // namespace

TEST_CASE("shards are disjoint, and together all") {
  for (const std::uint32_t count : {1U, 2U, 3U, 7U, 100U}) {
    for (std::uint64_t number = 0; number < 300; ++number) {
      int holders = 0;
      for (std::uint32_t i = 1; i <= count; ++i) holders += Shard{i, count}.holds(number) ? 1 : 0;
      CHECK(holders == 1);
    }
  }
}

TEST_CASE("merged shards are the unsharded campaign, byte for byte, in whatever order they come") {
  const Folder folder;
  const Generated all = generate(31, 15, 9, 120);
  write_whole(folder / "whole.db", all);
  for (const std::uint32_t count : {1U, 2U, 5U}) {
    CAPTURE(count);
    Paths parts = write_shards(folder, all, count, fmt::format("{}part", count));
    const std::filesystem::path out = folder / fmt::format("merged{}.db", count);
    const Stored merged = merge(out, parts);
    CHECK(merged.complete);
    CHECK(merged.results == all.results);
    CHECK(bytes_of(out) == bytes_of(folder / "whole.db"));
    std::reverse(parts.begin(), parts.end());
    const std::filesystem::path again = folder / fmt::format("again{}.db", count);
    merge(again, parts);
    CHECK(bytes_of(again) == bytes_of(folder / "whole.db"));
  }
}

TEST_CASE("shards that do not make one campaign are refused, and every reason is told") {
  const Folder folder;
  const Generated all = generate(32);
  const Paths parts = write_shards(folder, all, 4);
  Generated other = all;
  other.inputs.machine_sha256 = std::string(64, 'd');
  other.inputs.build = std::string(64, 'e');
  write_whole(folder / "other.db", other, {3, 4});
  write_whole(folder / "of_three.db", all, {2, 3});
  {
    Inputs inputs = all.inputs;
    inputs.shard = {4, 4};
    const WorkingFile file(folder / "begun.db", inputs, all.singles, false);
  }
  const auto told = [&](const Paths& paths) {
    const std::string text = error_of([&] { merge(folder / "out.db", paths); });
    CHECK_FALSE(std::filesystem::exists(folder / "out.db"));
    CHECK_FALSE(std::filesystem::exists(folder / "out.db.part"));
    return text;
  };
  const std::string text = told({parts[0], parts[0], folder / "other.db", folder / "of_three.db",
                                 folder / "begun.db.part", folder / "none.db"});
  for (const char* const part :
       {"part1.db: shard 1/4, as is", "other.db: other inputs than", "SHA-256 of the machine file",
        "build of the program", "of_three.db: shard 2/3, but", "begun.db.part: not complete",
        "none.db: cannot be opened", "missing: shard 2/4"}) {
    CAPTURE(part);
    CHECK(text.find(part) != std::string::npos);
  }
  CHECK(told({parts[0], parts[1], parts[3]}) == "missing: shard 3/4\n");
  CHECK(error_of([&] { merge(parts[0], parts); }).find("is there already") != std::string::npos);
  CHECK(error_of([&] { merge(folder / "out.db", parts); }).empty());
}
