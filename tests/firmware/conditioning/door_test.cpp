#include "firmware/conditioning/door.hpp"

#include <cstdint>
#include <initializer_list>

#include <doctest/doctest.h>

#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

constexpr Milliseconds scan{10};
constexpr DoorLimits two_contacts{};
constexpr DoorLimits one_contact{.contacts = 1};

void repeat(Door& door, bool c1, bool c2, int scans, const DoorLimits& limits = two_contacts) {
  for (int i = 0; i < scans; ++i) door.update(c1, c2, scan, limits);
}

}  // namespace

TEST_CASE("a door is neither proven closed nor fully open before it has been seen") {
  const Door door;
  CHECK_FALSE(door.proven_closed());
  CHECK_FALSE(door.fully_open());
  CHECK_FALSE(door.disagree());
}

TEST_CASE("a door is proven closed when both contacts have been closed for the close time") {
  Door door;
  repeat(door, true, true, 10);
  CHECK_FALSE(door.proven_closed());
  repeat(door, true, true, 1);
  CHECK(door.proven_closed());
}

TEST_CASE("one opened contact ends proven closed in the same scan, whichever it is") {
  for (const bool first : {true, false}) {
    Door door;
    repeat(door, true, true, 20);
    REQUIRE(door.proven_closed());
    repeat(door, !first, first, 1);
    CHECK_FALSE(door.proven_closed());
  }
}

TEST_CASE("the filter on opening is never longer than its maximum, whatever is set") {
  DoorLimits limits;
  limits.open_time = Milliseconds(60'000);
  Door door;
  repeat(door, true, true, 20, limits);
  REQUIRE(door.proven_closed());
  repeat(door, false, false, 2, limits);
  CHECK(door.proven_closed());
  repeat(door, false, false, 1, limits);
  CHECK_FALSE(door.proven_closed());
}

TEST_CASE("a door is fully open when both contacts have been open for the close time") {
  Door door;
  repeat(door, true, true, 20);
  repeat(door, false, false, 10);
  CHECK_FALSE(door.fully_open());
  repeat(door, false, false, 1);
  CHECK(door.fully_open());
  repeat(door, true, false, 1);
  CHECK_FALSE(door.fully_open());
}

TEST_CASE("contacts that differ for longer than the discrepancy time disagree") {
  Door door;
  repeat(door, true, true, 20);
  repeat(door, true, false, 100);
  CHECK_FALSE(door.disagree());
  repeat(door, true, false, 1);
  CHECK(door.disagree());
}

TEST_CASE("a door that closes one contact after the other within the time does not disagree") {
  Door door;
  repeat(door, false, false, 100);
  repeat(door, true, false, 90);
  repeat(door, true, true, 200);
  CHECK_FALSE(door.disagree());
  CHECK(door.proven_closed());
  repeat(door, true, false, 90);  // the time began anew
  CHECK_FALSE(door.disagree());
}

TEST_CASE("a flickering contact cannot keep the discrepancy time from running out") {
  Door door;
  repeat(door, true, true, 20);
  for (int i = 0; i < 60; ++i) {
    repeat(door, true, false, 2);
    repeat(door, true, true, 1);
  }
  CHECK(door.disagree());
}

TEST_CASE("a disagreement ends when the contacts have agreed for the close time") {
  Door door;
  repeat(door, true, false, 200);
  REQUIRE(door.disagree());
  repeat(door, false, false, 9);
  CHECK(door.disagree());
  repeat(door, false, false, 1);
  CHECK_FALSE(door.disagree());
}

TEST_CASE("a door with one contact ignores the second and never disagrees") {
  Door door;
  repeat(door, true, false, 500, one_contact);
  CHECK(door.proven_closed());
  CHECK_FALSE(door.disagree());
  repeat(door, false, true, 500, one_contact);
  CHECK(door.fully_open());
  CHECK_FALSE(door.proven_closed());
  CHECK_FALSE(door.disagree());
}

TEST_CASE("for any contacts a door is proven closed only with all of them closed in this scan") {
  test::check_property(0x5eed03, [] {
    DoorLimits limits;
    limits.contacts = *rc::gen::inRange<std::uint8_t>(1, 3);
    Door door;
    bool c1 = false;
    bool c2 = false;
    std::uint32_t closed_ms = 0;
    for (int i = 0; i < 300; ++i) {
      // Long runs of equal samples, or a door would never be proven.
      if (*rc::gen::inRange(0, 12) == 0) c1 = !c1;
      if (*rc::gen::inRange(0, 12) == 0) c2 = !c2;
      const bool all = c1 && (c2 || limits.contacts == 1);
      closed_ms = all ? closed_ms + scan.value : 0;
      door.update(c1, c2, scan, limits);
      RC_ASSERT(door.proven_closed() == (closed_ms > limits.close_time.value));
      RC_ASSERT(!(door.proven_closed() && door.fully_open()));
      if (door.fully_open()) RC_ASSERT(!c1 && (limits.contacts == 1 || !c2));
    }
  });
}

TEST_CASE("a single contact that should open proves nothing until it has opened") {
  Door door;
  repeat(door, true, true, 20, one_contact);
  door.expect_opening(one_contact);
  repeat(door, true, true, 10'000, one_contact);
  CHECK_FALSE(door.proven_closed());
  repeat(door, false, true, 20, one_contact);
  REQUIRE(door.fully_open());
  repeat(door, true, true, 20, one_contact);
  CHECK(door.proven_closed());
}

TEST_CASE("two contacts watch each other and stay trusted") {
  Door door;
  repeat(door, true, true, 20);
  door.expect_opening(two_contacts);
  repeat(door, true, true, 1);
  CHECK(door.proven_closed());
}
