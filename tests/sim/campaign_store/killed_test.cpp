#include <chrono>
#include <csignal>
#include <cstdint>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

#include <doctest/doctest.h>

#include "generated.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign_store;
using namespace ovenproof::test;

namespace {

/// Goes on with the file until it is done, committing often.
void go_on(const std::filesystem::path& path, const Generated& all) {
  WorkingFile file(path, all.inputs, all.singles, true);
  if (file.finished()) return;
  std::vector<bool> there(all.results.size());
  for (const campaign::Result& each : file.found()) {
    if (each != all.results[each.number]) ::_exit(9);
    there[each.number] = true;
  }
  file.add_pairs(all.plan);
  for (const std::uint64_t number : shuffled(all, {}, all.results.size())) {
    if (there[number]) continue;
    file.add(all.results[number]);
    if (number % 25 == 0) file.flush();
  }
  file.finish();
}

/// Runs it in a process of its own that is killed after a while. True if it had come to its end.
bool killed_after(std::chrono::microseconds delay, const std::filesystem::path& path,
                  const Generated& all) {
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    try {
      go_on(path, all);
    } catch (...) {
      ::_exit(8);
    }
    ::_exit(0);
  }
  std::this_thread::sleep_for(delay);
  ::kill(child, SIGKILL);
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  if (WIFEXITED(status)) REQUIRE(WEXITSTATUS(status) == 0);
  return WIFEXITED(status);
}

}  // namespace

TEST_CASE("killed at many instants and resumed each time, the file ends with the same bytes") {
  const Folder folder;
  const Generated all = generate(21, 20, 15, 300);
  write_whole(folder / "whole.db", all);
  const auto begin = std::chrono::steady_clock::now();
  go_on(folder / "measured.db", all);
  const auto takes = std::chrono::duration_cast<std::chrono::microseconds>(
      std::chrono::steady_clock::now() - begin);

  // Each round kills one run again and again, at instants that move through it from its beginning
  // to its end; what the killed ones left is what the next goes on with.
  std::uint64_t seed = 1;
  int kills = 0;
  for (int round = 0; round < 4; ++round) {
    const std::filesystem::path path = folder / ("killed" + std::to_string(round) + ".db");
    for (int i = 0; i < 6; ++i) {
      seed = seed * 6364136223846793005U + 1442695040888963407U;
      const auto part = static_cast<std::int64_t>(seed >> 40U) % 1000;
      if (killed_after(takes * (part + 1) / 1000 / (round + 1), path, all)) break;
      ++kills;
    }
    go_on(path, all);
    CHECK(bytes_of(path) == bytes_of(folder / "whole.db"));
    CHECK_FALSE(std::filesystem::exists(path.string() + ".part"));
    CHECK_FALSE(std::filesystem::exists(path.string() + ".part-journal"));
  }
  CHECK(kills >= 10);
}
