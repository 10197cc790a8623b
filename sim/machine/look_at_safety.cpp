#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "sim/machine/checker.hpp"
#include "sim/machine/io_list.hpp"

/// Safety functions against the wiring of the simulated oven: how a signal reaches what cuts the
/// heat.
namespace ovenproof::machine {

namespace {

/// The contacts of the hard-wired chain, by the keys of their tags: they cut Q1 and Q2 themselves.
constexpr std::array<std::string_view, 3> in_the_chain{"door_closed_1", "estop_healthy",
                                                       "limiter_healthy"};

/// What the failure modes of one channel's components say about its way through the oven.
struct Way {
  std::string read_only;    ///< tag of an input that the controller alone reads; empty: none
  bool controller = false;  ///< outputs or logic of the controller are in the way
  bool contactor = false;   ///< ends at a contactor
  bool known = true;        ///< every component states failure modes
};

const safety::Component* find_component(const Machine& m, const std::string& name) {
  const auto found = std::ranges::find(m.safety.components, name, &safety::Component::name);
  return found == m.safety.components.end() ? nullptr : &*found;
}

/// The terminal with that tag, as an index in `all_points`.
std::optional<std::size_t> point_with_tag(const Machine& m, std::string_view tag) {
  const auto found = std::ranges::find(m.tags, tag);
  if (found == m.tags.end()) return std::nullopt;
  return static_cast<std::size_t>(found - m.tags.begin());
}

void follow(Way& way, const Machine& m, const std::string& mode) {
  const std::string id = mode.substr(0, mode.find(' '));  // without its share
  const std::size_t dot = id.find_last_of('.');
  if (dot == std::string::npos) return;
  const std::string tag = id.substr(0, dot);
  const bool of_the_output = id.compare(dot + 1, 5, "coil_") == 0;
  if (of_the_output || tag == "controller" || tag == "outputs") way.controller = true;
  const std::optional<std::size_t> point = point_with_tag(m, tag);
  if (!point) return;
  const Point& at = all_points()[*point];
  if (!of_the_output && (at.key == "k1" || at.key == "k2")) way.contactor = true;
  const bool input = at.signal == Signal::contact_in || at.signal == Signal::analog_in;
  if (input && std::ranges::find(in_the_chain, at.key) == in_the_chain.end()) way.read_only = tag;
}

Way way_of(const Machine& m, const std::vector<std::string>& channel) {
  Way way;
  for (const std::string& name : channel) {
    const safety::Component* part = find_component(m, name);
    if (part == nullptr || part->modes.empty()) {
      way.known = false;
      continue;
    }
    for (const std::string& mode : part->modes) follow(way, m, mode);
  }
  return way;
}

void look_at_channel(Checker& look, const Machine& m, const std::vector<std::string>& channel,
                     const std::string& key) {
  const Way way = way_of(m, channel);
  const bool no_way = way.known && way.contactor && !way.controller && !way.read_only.empty();
  look.need(!no_way, {key},
            fmt::format("the controller between {} and the contactor: {} is not in the hard-wired "
                        "chain, the controller alone reads it",
                        way.read_only, way.read_only),
            "add the component whose failure modes are those of the controller's outputs, such as "
            "Q1.coil_on; in the chain are contact 1 of the door, limiter and emergency stop");
}

}  // namespace

void look_at_safety(Checker& look, const Machine& m) {
  for (std::size_t i = 0; i < m.safety.functions.size(); ++i) {
    const safety::Function& function = m.safety.functions[i];
    const auto key = [i](std::string_view channel) {
      return fmt::format("safety.functions[{}].{}", i + 1, channel);
    };
    look_at_channel(look, m, function.channel_1, key("channel_1"));
    look_at_channel(look, m, function.channel_2, key("channel_2"));
  }
}

}  // namespace ovenproof::machine
