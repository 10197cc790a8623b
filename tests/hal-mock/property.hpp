#pragma once
#include <cstdint>
#include <iostream>
#include <rapidcheck.h>
#include <string>
#include <utility>

/// Random-input properties that run the same cases every time.
namespace ovenproof::test {

/// True if the property holds for `cases` random inputs made from `seed`; else prints the smallest
/// counterexample found.
template <class Testable>
bool holds(const std::string& what, std::uint64_t seed, int cases, Testable&& property) {
  rc::detail::TestMetadata metadata;
  metadata.id = what;
  metadata.description = what;
  rc::detail::TestParams params;
  params.seed = seed;
  params.maxSuccess = cases;
  const auto result = rc::detail::checkTestable(std::forward<Testable>(property), metadata, params);
  if (result.template is<rc::detail::SuccessResult>()) return true;
  rc::detail::printResultMessage(result, std::cerr);
  std::cerr << '\n';
  return false;
}

}  // namespace ovenproof::test
