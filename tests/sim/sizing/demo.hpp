#pragma once
#include <array>
#include <string>
#include <variant>

#include <doctest/doctest.h>

#include "sim/machine/load.hpp"
#include "sim/sizing/size.hpp"

namespace ovenproof::sizing::testing {

/// The invented ovens that users copy from.
inline constexpr std::array demo_names{"bronze_strip_160", "coil_anneal_300",
                                       "titanium_bracket_90"};

inline std::string demo_path(const std::string& name) {
  return std::string(SOURCE_DIR) + "/scenarios/machines/" + name + ".yaml";
}

inline machine::Machine demo(const std::string& name) {
  auto loaded = machine::load_file(demo_path(name));
  REQUIRE(std::holds_alternative<machine::Machine>(loaded));
  return std::get<machine::Machine>(std::move(loaded));
}

/// The figure, which must be there.
inline const Figure& figure(const Sizing& sizing, std::string_view id) {
  const Figure* found = find_figure(sizing.figures, id);
  REQUIRE_MESSAGE(found != nullptr, std::string(id));
  return *found;
}

}  // namespace ovenproof::sizing::testing
