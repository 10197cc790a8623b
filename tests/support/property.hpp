#pragma once
#include <cstdint>
#include <rapidcheck.h>
#include <sstream>
#include <string>

#include <doctest/doctest.h>

namespace ovenproof::test {

/// Checks a rapidcheck property from a fixed seed, so that every run tries the same cases, and
/// fails the doctest case with the shrunk counterexample when it does not hold.
template <class Testable>
void check_property(std::uint64_t seed, Testable&& testable, int cases = 200) {
  rc::detail::TestParams params;
  params.seed = seed;
  params.maxSuccess = cases;
  const auto result = rc::detail::checkTestable(std::forward<Testable>(testable),
                                                rc::detail::TestMetadata{}, params);
  if (!result.template is<rc::detail::SuccessResult>()) {
    std::ostringstream text;
    rc::detail::printResultMessage(result, text);
    FAIL_CHECK(text.str());
  }
}

}  // namespace ovenproof::test
