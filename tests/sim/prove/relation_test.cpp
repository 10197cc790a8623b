#include "defects/relation.hpp"

#include <optional>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "seeded.hpp"

/// Mutants are called equivalent on the word of the relation: here it is judged, by the logic with
/// and without the defects of seeds.cmake.
using namespace ovenproof;
using defects::Relation;

namespace {

/// Everything fitted: every seeded defect can show.
constexpr logic::Options everything{
    .oxygen_monitor = true, .jacket_cooling = true, .start_by_door = true, .max_repurges = 1};
/// The least there is to explore.
constexpr logic::Options plain{
    .oxygen_monitor = false, .jacket_cooling = false, .start_by_door = false, .max_repurges = 0};

/// One defect awake for as long as this lives.
struct Awake {
  explicit Awake(int number) { logic::seeded = number; }
  ~Awake() { logic::seeded = 0; }
  Awake(const Awake&) = delete;
  Awake& operator=(const Awake&) = delete;
};

constexpr int last_seed = 22;

}  // namespace

TEST_CASE("the logic is no different from itself") {
  const Relation relation(plain);
  CHECK(relation.states() > 100);
  CHECK_FALSE(relation.difference());
  CHECK_FALSE(relation.telling_difference());
  CHECK_FALSE(relation.difference_of_scans());
}

TEST_CASE("every seeded defect does something otherwise") {
  const Relation relation(everything);
  for (int seed = 1; seed <= last_seed; ++seed) {
    CAPTURE(seed);
    const Awake awake(seed);
    CHECK(relation.difference());
  }
}

TEST_CASE("a defect of a part that the machine does not have makes no difference") {
  const Relation relation(plain);
  for (const int seed : {5, 7, 10}) {  // arming by the door, the monitor twice
    CAPTURE(seed);
    const Awake awake(seed);
    CHECK_FALSE(relation.difference());
    CHECK_FALSE(relation.telling_difference());
  }
}

TEST_CASE("what can be told apart by what is said is told apart, and how is told") {
  const Relation relation(plain);
  const std::vector<std::pair<int, std::string>> seeds{
      {1, "acknowledge"}, {3, "restart"}, {17, "gas"}, {21, "told first-out"}};
  for (const auto& [seed, word] : seeds) {
    CAPTURE(seed);
    const Awake awake(seed);
    const std::optional<std::string> told = relation.telling_difference();
    REQUIRE(told);
    CAPTURE(*told);
    CHECK(told->find(word) != std::string::npos);
  }
}

TEST_CASE("every seeded defect can be told apart, also one that only leaves a timer alone") {
  const Relation relation(everything);
  for (int seed = 1; seed <= last_seed; ++seed) {
    CAPTURE(seed);
    const Awake awake(seed);
    CHECK(relation.telling_difference());
  }
}
