#include "firmware/conditioning/contact.hpp"

#include <cstdint>
#include <vector>

#include <doctest/doctest.h>

#include "firmware/conditioning/contact_bank.hpp"
#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

constexpr Milliseconds scan{10};

// Samples until the contact reads `wanted`, the first sample of the change counted as one.
int scans_until(Contact& contact, bool wanted, const DebounceLimits& limits) {
  for (int n = 1; n <= 1000; ++n) {
    if (contact.update(wanted, scan, limits) == wanted) return n;
  }
  return -1;
}

}  // namespace

TEST_CASE("a contact is off until it has been seen energised for its on time") {
  const DebounceLimits limits{Milliseconds(30), Milliseconds(50)};
  Contact contact;
  CHECK_FALSE(contact.on());
  CHECK(scans_until(contact, true, limits) == 4);  // 0, 10, 20, 30 ms after the first sample
  CHECK(scans_until(contact, false, limits) == 6);
}

TEST_CASE("a contact without times follows each sample") {
  const DebounceLimits none{Milliseconds(0), Milliseconds(0)};
  Contact contact;
  CHECK(contact.update(true, scan, none));
  CHECK_FALSE(contact.update(false, scan, none));
}

TEST_CASE("a bounce starts the time of a contact again") {
  const DebounceLimits limits{Milliseconds(30), Milliseconds(0)};
  Contact contact;
  for (int i = 0; i < 100; ++i) {
    contact.update(true, scan, limits);
    contact.update(true, scan, limits);
    contact.update(true, scan, limits);
    CHECK_FALSE(contact.update(false, scan, limits));
  }
}

TEST_CASE("time before the first differing sample of a contact does not count") {
  const DebounceLimits limits{Milliseconds(30), Milliseconds(0)};
  Contact contact;
  contact.update(false, scan, limits);
  CHECK_FALSE(contact.update(true, Milliseconds(100'000), limits));
}

TEST_CASE("a contact changes only after that many milliseconds of one level, for any bounce") {
  test::check_property(0x5eed01, [] {
    const auto samples = *rc::gen::container<std::vector<bool>>(rc::gen::arbitrary<bool>());
    const DebounceLimits limits{Milliseconds(*rc::gen::inRange<std::uint32_t>(0, 80)),
                                Milliseconds(*rc::gen::inRange<std::uint32_t>(0, 80))};
    Contact contact;
    std::uint32_t level_ms = 0;  // since the first sample of the present level
    bool level = false;
    for (const bool sample : samples) {
      level_ms = sample == level ? level_ms + scan.value : 0;
      level = sample;
      const bool was = contact.on();
      const bool is = contact.update(sample, scan, limits);
      const std::uint32_t needed = (sample ? limits.on_time : limits.off_time).value;
      if (sample == was) {
        RC_ASSERT(is == was);
      } else {
        RC_ASSERT(is == (level_ms >= needed ? sample : was));
      }
    }
  });
}

TEST_CASE("the bank reads every contact as a contact of its own would") {
  test::check_property(0x5eed02, [] {
    ContactBankLimits limits;
    for (auto& l : limits) {
      l = {Milliseconds(*rc::gen::inRange<std::uint32_t>(0, 60)),
           Milliseconds(*rc::gen::inRange<std::uint32_t>(0, 60))};
    }
    ContactBank bank;
    std::array<Contact, hal::digital_in_count> apart{};
    std::uint32_t raw = 0;
    for (int i = 0; i < 100; ++i) {
      // Few changes at a time, or nothing would ever pass the debounce. Bits beyond the points
      // must not matter.
      raw ^= *rc::gen::arbitrary<std::uint32_t>() & *rc::gen::arbitrary<std::uint32_t>() &
             *rc::gen::arbitrary<std::uint32_t>() & *rc::gen::arbitrary<std::uint32_t>();
      bank.update(raw, scan, limits);
      for (std::size_t p = 0; p < apart.size(); ++p) {
        apart[p].update((raw >> p & 1U) != 0, scan, limits[p]);
        RC_ASSERT(bank.on(static_cast<hal::DigitalIn>(p)) == apart[p].on());
      }
    }
  });
}
