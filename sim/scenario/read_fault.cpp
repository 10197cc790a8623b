#include "sim/scenario/read_fault.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "sim/scenario/phrase.hpp"

namespace ovenproof::scenario {
namespace {

using machine::Dimension;
using machine::Node;
using mock::FaultKind;
using mock::Point;

mock::VirtualMs end_of(std::optional<std::uint32_t> for_ms) {
  return for_ms ? mock::VirtualMs{*for_ms} : mock::no_end;
}

/// Points that share something: what fails there fails at all of them.
struct PointGroup {
  std::string_view name;
  bool (*has)(Point);
};
constexpr std::array<PointGroup, 3> point_groups{{
    {"all_contacts", [](Point p) { return p.point_class() == mock::PointClass::digital_in; }},
    {"all_analogue", [](Point p) { return p.point_class() == mock::PointClass::analog_in; }},
    {"all_outputs",
     [](Point p) {
       return p.point_class() == mock::PointClass::digital_out ||
              p.point_class() == mock::PointClass::heater;
     }},
}};

/// The points of the group of that name; none if there is no such group.
std::vector<Point> points_of_group(std::string_view name) {
  std::vector<Point> points;
  for (const PointGroup& group : point_groups) {
    if (group.name != name) continue;
    for (std::size_t i = 0; i < Point::count; ++i) {
      if (const auto point = Point::at(i); group.has(*point)) points.push_back(*point);
    }
  }
  return points;
}

std::vector<std::string> fault_names() {
  std::vector<std::string> names(mock::point_names.begin(), mock::point_names.end());
  for (const PointGroup& group : point_groups) names.emplace_back(group.name);
  for (const plant::FaultInfo& info : plant::fault_table) names.emplace_back(info.name);
  return names;
}

std::string wanted_unit(std::string_view unit) {
  return unit.empty() ? "0 or 1" : fmt::format("a number in {}, such as 5 {}", unit, unit);
}

/// A number in exactly that unit, which is the point's own: `5 mV`, `5mV`; 0 and 1 without one.
std::optional<double> in_unit(std::string_view text, std::string_view unit, ValueReader& value) {
  double number = 0.0;
  const auto [end, failure] =
      std::from_chars(text.data(), text.data() + text.size(), number, std::chars_format::general);
  if (failure == std::errc() && std::isfinite(number)) {
    std::string_view rest(end, static_cast<std::size_t>(text.data() + text.size() - end));
    while (rest.starts_with(' ')) rest.remove_prefix(1);
    if (rest == unit) return number;
  }
  value.report(wanted_unit(unit),
               text.empty() ? "nothing" : fmt::format("\"{}\"", machine::shown(text)));
  return std::nullopt;
}

std::optional<mock::Effect> read_effect(Point point, FaultKind kind, const Phrase& phrase,
                                        ValueReader& value) {
  const std::string text = phrase.rest(2);
  const std::string unit(mock::unit(point));
  const auto number = [&](std::string_view in) { return in_unit(text, in, value); };
  switch (kind) {
    case FaultKind::stuck_at:
      if (const auto v = number(unit)) return mock::StuckAt{*v};
      return std::nullopt;
    case FaultKind::drift:
      if (const auto v = number(unit + "/h")) return mock::Drift{*v};
      return std::nullopt;
    case FaultKind::offset:
      if (const auto v = number(unit)) return mock::Offset{*v};
      return std::nullopt;
    case FaultKind::gain:
      if (const auto v = number("")) return mock::Gain{*v};
      return std::nullopt;
    case FaultKind::noise: {
      const auto v = number(unit);
      const std::string* seed_text = phrase.clause("seed");
      const auto seed = seed_text == nullptr ? std::optional<std::uint64_t>(1)
                                             : value.whole(*seed_text, 0xFFFF'FFFFU);
      if (v && seed) return mock::Noise{*v, *seed};
      return std::nullopt;
    }
    case FaultKind::bounce: {
      const auto duration = value.duration(text, 1);
      const auto every = phrase.clause("every") == nullptr ? std::optional<std::uint32_t>(2)
                                                           : value.duration_clause(phrase, "every");
      if (duration && every) return mock::Bounce{*every, *duration};
      return std::nullopt;
    }
    case FaultKind::delay:
      if (const auto v = value.duration(text, 1)) return mock::Delay{*v};
      return std::nullopt;
    case FaultKind::intermittent: {
      const auto open = value.duration(text, 1);
      const auto every = phrase.clause("every") == nullptr ? std::optional<std::uint32_t>(1000)
                                                           : value.duration_clause(phrase, "every");
      if (open && every) return mock::Intermittent{*every, *open};
      return std::nullopt;
    }
    case FaultKind::crossed_with: {
      const auto other = mock::point_named(text);
      if (other && other->point_class() == mock::PointClass::digital_in) {
        return mock::CrossedWith{static_cast<hal::DigitalIn>(other->index_in_class())};
      }
      std::vector<std::string> names;
      for (const Point each : points_of_group("all_contacts")) names.emplace_back(name(each));
      value.report_unknown("another contact input after `crossed_with`", text, names);
      return std::nullopt;
    }
    case FaultKind::frozen:
    case FaultKind::short_circuit:
    case FaultKind::open:
      if (!text.empty()) {
        value.report(fmt::format("nothing after `{}`", mock::name(kind)),
                     fmt::format("\"{}\"", machine::shown(text)));
        return std::nullopt;
      }
      if (kind == FaultKind::frozen) return mock::Frozen{};
      if (kind == FaultKind::open) return mock::Open{};
      return mock::ShortCircuit{};
    case FaultKind::count:
      break;
  }
  return std::nullopt;
}

std::optional<Act> read_signal_fault(Point point, const Phrase& phrase, ValueReader& value) {
  const std::vector<std::string> kinds(mock::fault_kind_names.begin(),
                                       mock::fault_kind_names.end());
  const std::string kind_name = phrase.head.size() < 2 ? "" : phrase.head[1];
  const auto kind = mock::fault_kind_named(kind_name);
  if (!kind) {
    value.report_unknown(fmt::format("a kind of fault after `{}`", mock::name(point)), kind_name,
                         kinds);
    return std::nullopt;
  }
  std::vector<std::string_view> clauses{"for"};
  if (*kind == FaultKind::noise) clauses.emplace_back("seed");
  if (*kind == FaultKind::bounce || *kind == FaultKind::intermittent) {
    clauses.emplace_back("every");
  }
  if (const auto refused = mock::refusal(point, *kind); !refused.empty()) {
    value.report(std::string(refused),
                 fmt::format("{} of {}", mock::name(*kind), mock::name(point)));
    return std::nullopt;
  }
  if (!value.only_clauses(phrase, clauses)) return std::nullopt;
  const auto for_ms = value.duration_clause(phrase, "for");
  if (phrase.clause("for") != nullptr && !for_ms) return std::nullopt;
  const auto effect = read_effect(point, *kind, phrase, value);
  if (!effect) return std::nullopt;
  const mock::SignalFault fault{point, *effect, 0, end_of(for_ms)};
  if (const auto refused = mock::refusal(fault); !refused.empty()) {
    value.report(std::string(refused), fmt::format("\"{}\"", machine::shown(value.node().text)));
    return std::nullopt;
  }
  return BreakSignal{fault};
}

std::optional<Act> read_component_fault(plant::Fault fault, const Phrase& phrase,
                                        ValueReader& value) {
  if (!value.only_clauses(phrase, {"for", "over"})) return std::nullopt;
  rig::ComponentFault broken;
  broken.fault = fault;
  if (phrase.head.size() > 1) {
    const auto severity = value.quantity(phrase.rest(1), Dimension::ratio, 0.0, 1.0);
    if (!severity) return std::nullopt;
    if (!plant::info(fault).graded) {
      value.report(fmt::format("no severity: `{}` is there or not", plant::info(fault).name),
                   fmt::format("\"{}\"", phrase.rest(1)));
      return std::nullopt;
    }
    broken.severity = *severity;
  }
  const auto for_ms = value.duration_clause(phrase, "for");
  const auto over_ms = value.duration_clause(phrase, "over");
  if (phrase.clauses.size() != (for_ms ? 1U : 0U) + (over_ms ? 1U : 0U)) return std::nullopt;
  broken.end_ms = end_of(for_ms);
  broken.ramp_ms = over_ms.value_or(0);
  return BreakComponent{broken};
}

std::optional<Act> read_one_fault(const Phrase& phrase, ValueReader& value) {
  if (const auto point = mock::point_named(phrase.head[0])) {
    return read_signal_fault(*point, phrase, value);
  }
  if (const auto fault = plant::find_fault(phrase.head[0])) {
    return read_component_fault(*fault, phrase, value);
  }
  value.report_unknown("a point of the board or a component's fault", phrase.head[0],
                       fault_names());
  return std::nullopt;
}

std::optional<Act> read_clear(const Phrase& phrase, ValueReader& value) {
  if (!value.only_clauses(phrase, {})) return std::nullopt;
  const std::string name = phrase.rest(0);
  if (name == "all") return Clear{};
  if (const auto point = mock::point_named(name)) return Clear{*point, std::nullopt};
  if (const auto fault = plant::find_fault(name)) return Clear{std::nullopt, *fault};
  value.report_unknown("a point, a component's fault, or all", name, fault_names());
  return std::nullopt;
}

std::optional<Act> read_clock(const Phrase& phrase, ValueReader& value) {
  const std::string& what = phrase.head[0];
  const auto for_ms = value.duration_clause(phrase, "for");
  mock::ClockFault fault{mock::ClockStopped{}, 0, end_of(for_ms)};
  if (what == "jump") {
    if (!value.only_clauses(phrase, {})) return std::nullopt;
    const auto s = value.quantity(phrase.rest(1), Dimension::time, -2'000'000.0, 2'000'000.0);
    if (!s) return std::nullopt;
    fault.effect = mock::ClockJump{static_cast<std::int32_t>(std::round(*s * 1000.0))};
  } else if (what == "drift") {
    const auto ppm =
        value.quantity(phrase.rest(1), Dimension::mole_fraction, -999'999.0, 1'000'000.0);
    if (!ppm) return std::nullopt;
    fault.effect = mock::ClockDrift{static_cast<std::int32_t>(std::round(*ppm))};
  } else if (phrase.rest(0) != "stop") {
    value.report_unknown("jump TIME, stop [for TIME] or drift PPM [for TIME]", phrase.rest(0),
                         {"jump", "stop", "drift"});
    return std::nullopt;
  }
  if (!value.only_clauses(phrase, {"for"})) return std::nullopt;
  if (const auto refused = mock::refusal(fault); !refused.empty()) {
    value.report(std::string(refused), fmt::format("\"{}\"", machine::shown(value.node().text)));
    return std::nullopt;
  }
  return BreakClock{fault};
}

std::optional<Act> read_converter(const Phrase& phrase, ValueReader& value) {
  if (!value.only_clauses(phrase, {"for"})) return std::nullopt;
  if (phrase.rest(0) != "stop") {
    value.report_unknown("stop [for TIME]", phrase.rest(0), {"stop"});
    return std::nullopt;
  }
  return StopConverter{end_of(value.duration_clause(phrase, "for"))};
}

}  // namespace

void read_fault_action(const Node& node, const std::string& key, Reporter& reporter,
                       std::vector<Action>& actions) {
  const bool many =
      node.kind == Node::Kind::sequence && (node.key == "fault" || node.key == "clear");
  const std::size_t count = many ? node.children.size() : 1;
  for (std::size_t i = 0; i < count; ++i) {
    const Node& one = many ? node.children[i] : node;
    const std::string path = many ? fmt::format("{}[{}]", key, i + 1) : key;
    ValueReader value(reporter, one, path);
    const auto phrase = value.phrase(node.key == "fault"   ? "POINT KIND, or a component's fault"
                                     : node.key == "clear" ? "a point, a component's fault, or all"
                                     : node.key == "clock" ? "jump, stop or drift"
                                                           : "stop");
    if (!phrase) continue;
    const std::size_t errors = reporter.count();
    const std::string& subject = phrase->head[0];
    const std::vector<Point> group =
        node.key == "fault" ? points_of_group(subject) : std::vector<Point>{};
    for (const Point point : group) {
      const std::optional<Act> act = read_signal_fault(point, *phrase, value);
      if (!act || reporter.count() != errors) break;
      actions.push_back({*act,
                         fmt::format("{} {}{}", node.key, mock::name(point),
                                     one.text.substr(one.text.find(subject) + subject.size())),
                         std::nullopt, 0});
    }
    if (!group.empty()) continue;
    const std::optional<Act> act = node.key == "fault"   ? read_one_fault(*phrase, value)
                                   : node.key == "clear" ? read_clear(*phrase, value)
                                   : node.key == "clock" ? read_clock(*phrase, value)
                                                         : read_converter(*phrase, value);
    if (!act || reporter.count() != errors) continue;
    actions.push_back({*act, fmt::format("{} {}", node.key, one.text), std::nullopt, 0});
  }
}

}  // namespace ovenproof::scenario
