#define DOCTEST_CONFIG_IMPLEMENT
#include <charconv>
#include <cstdio>
#include <cstring>

#include <doctest/doctest.h>

#include "recording.hpp"

/// Unit tests of the firmware with one defect awake: units N ARGUMENTS OF DOCTEST...
int main(int count, char** arguments) {
  int place = 0;
  const char* const number = count > 1 ? arguments[1] : "";
  const auto [end, failure] = std::from_chars(number, number + std::strlen(number), place);
  if (failure != std::errc{} || *end != '\0' || place < 0) {
    std::fputs("units: the first argument must be the number of a defect, or 0\n", stderr);
    return 2;
  }
  ovenproof::defects::select(place);
  doctest::Context context(count - 1, arguments + 1);
  return context.run();
}
