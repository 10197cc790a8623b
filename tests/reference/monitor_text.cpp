#include <cstdio>

#include "monitor_semantics.hpp"

namespace ovenproof::properties::reference {
namespace {

std::string number(double value) {
  char digits[64];
  std::snprintf(digits, sizeof digits, "%.17g", value);
  return digits;
}

std::string duration(int scans) { return std::to_string(10 * scans) + " ms"; }

std::string range(const Formula& f) {
  return f.bounded ? " [" + duration(f.from) + ", " + duration(f.to) + "]" : "";
}

std::string bracketed(const Formula& f) { return "(" + text_of(f) + ")"; }

}  // namespace

std::string text_of(const Formula& f) {
  const auto part = [&](std::size_t i) { return bracketed(f.parts[i]); };
  const auto prefix = [&](const char* word) { return word + range(f) + " " + part(0); };
  const auto joined = [&](const char* word) {
    std::string text = part(0);
    for (std::size_t i = 1; i < f.parts.size(); ++i) {
      text += " ";
      text += word;
      text += " " + part(i);
    }
    return text;
  };
  constexpr const char* values[] = {"x", "y", "z", "x - y", "abs(x) + y", "min(x, y)"};
  constexpr const char* relations[] = {" < ", " <= ", " > ", " >= ", " = ", " != "};
  constexpr const char* labels[] = {"a", "b", "c"};
  constexpr const char* changing[] = {"p", "s", "x"};
  constexpr const char* booleans[] = {"p", "q", "r"};
  switch (f.kind) {
    case Kind::boolean:
      return booleans[f.number];
    case Kind::state_is:
      return std::string("s") + (f.relation == 0 ? " = " : " != ") + labels[f.number];
    case Kind::compare:
      return values[f.number] + (relations[f.relation] + number(f.limit)) +
             (f.number == 2 ? " Pa" : " ppm");
    case Kind::changes:
      return "changes(" + std::string(changing[f.number]) + ")";
    case Kind::negation:
      return "not " + part(0);
    case Kind::conjunction:
      return joined("and");
    case Kind::disjunction:
      return joined("or");
    case Kind::implication:
      return joined("implies");
    case Kind::rises:
      return "rises" + part(0);
    case Kind::falls:
      return "falls" + part(0);
    case Kind::once:
      return prefix("once");
    case Kind::historically:
      return prefix("historically");
    case Kind::always:
      return prefix("always");
    case Kind::never:
      return prefix("never");
    case Kind::eventually:
      return prefix("eventually");
    case Kind::at_start:
      return prefix("at_start");
    case Kind::at_end:
      return prefix("at_end");
    case Kind::held_for:
      return part(0) + " for at least " + duration(f.to);
    case Kind::since:
      return part(0) + " since" + range(f) + " " + part(1);
    case Kind::until:
      return part(0) + " until" + range(f) + " " + part(1);
    case Kind::after:
      return "within " + duration(f.to) + " after " + part(0) + ": " + part(1);
  }
  return {};
}

}  // namespace ovenproof::properties::reference
