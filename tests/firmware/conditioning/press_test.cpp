#include "firmware/conditioning/press.hpp"

#include <initializer_list>

#include <doctest/doctest.h>

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

constexpr Milliseconds scan{10};

/// Holds the contact so for that long; how often a press was given meanwhile.
int given_while(Press& press, bool down, unsigned ms) {
  int given = 0;
  for (unsigned at = 0; at < ms; at += scan.value) {
    press.update(down, scan);
    given += press.given() ? 1 : 0;
  }
  return given;
}

}  // namespace

TEST_CASE("a press is given once, in the sample in which the button is let go") {
  Press press;
  CHECK(given_while(press, false, 100) == 0);
  for (int time = 0; time < 3; ++time) {
    CHECK(given_while(press, true, 300) == 0);
    press.update(false, scan);
    CHECK(press.given());
    CHECK(given_while(press, false, 1'000) == 0);
  }
  CHECK(given_while(press, true, 10) == 0);
  CHECK(given_while(press, false, 100) == 1);
}

TEST_CASE("a contact that fails closed gives no press, however long it lasts") {
  Press press;
  given_while(press, false, 100);
  CHECK(given_while(press, true, 7'200'000) == 0);
  CHECK(given_while(press, false, 1'000) == 0);
}

TEST_CASE("a button held up to the longest press gives one, held longer none") {
  for (const unsigned held : {longest_press.value - scan.value, longest_press.value,
                              longest_press.value + scan.value, 60'000U}) {
    CAPTURE(held);
    Press press;
    given_while(press, false, 100);
    given_while(press, true, held);
    CHECK(given_while(press, false, 100) == (held <= longest_press.value ? 1 : 0));
    // The next one counts again.
    given_while(press, true, 200);
    CHECK(given_while(press, false, 100) == 1);
  }
}

TEST_CASE("a button that is down at power-up gives no press when it is let go") {
  for (const unsigned held : {10U, 300U, 4'000U}) {
    Press press;
    given_while(press, true, held);
    CHECK(given_while(press, false, 100) == 0);
  }
}

TEST_CASE("a time that overflows is too long a press, not a short one") {
  Press press;
  press.update(false, scan);
  for (int n = 0; n < 4; ++n) press.update(true, Milliseconds(0x7FFFFFFFU));
  press.update(false, scan);
  CHECK_FALSE(press.given());
}
