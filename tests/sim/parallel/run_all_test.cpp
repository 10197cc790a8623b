#include "sim/parallel/run_all.hpp"

#include <atomic>
#include <stdexcept>
#include <string>

#include <doctest/doctest.h>

using namespace ovenproof;

TEST_CASE(
    "all tasks run whatever the number of threads, and the first exception in order is told") {
  for (const unsigned jobs : {1U, 4U}) {
    std::atomic<int> done = 0;
    std::vector<std::function<void()>> tasks;
    for (int i = 0; i < 20; ++i) {
      tasks.emplace_back([&done, i] {
        ++done;
        if (i == 7 || i == 13) throw std::invalid_argument(std::to_string(i));
      });
    }
    CHECK_THROWS_WITH_AS(parallel::run_all(tasks, jobs), "7", std::invalid_argument);
    CHECK(done == 20);
  }
}

TEST_CASE("the number of tasks done is told one by one") {
  std::vector<std::size_t> told;
  const std::vector<std::function<void()>> tasks(20, [] {});
  parallel::run_all(tasks, 4, [&told](std::size_t done) { told.push_back(done); });
  REQUIRE(told.size() == 20);
  for (std::size_t i = 0; i < told.size(); ++i) CHECK(told[i] == i + 1);
}
