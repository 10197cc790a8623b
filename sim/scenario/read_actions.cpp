#include "sim/scenario/read_actions.hpp"

#include <array>
#include <functional>
#include <utility>

#include <fmt/format.h>

#include "hal-mock/non_volatile_store.hpp"
#include "sim/scenario/phrase.hpp"
#include "sim/scenario/read_fault.hpp"

namespace ovenproof::scenario {
namespace {

using machine::Dimension;
using machine::Node;

constexpr std::uint32_t usual_press_ms = 300;

constexpr std::array<std::pair<std::string_view, Button>, 4> buttons{
    {{"start", Button::start},
     {"stop", Button::stop},
     {"reset", Button::reset},
     {"limiter_reset", Button::limiter_reset}}};

std::optional<Button> button_named(std::string_view name, ValueReader& value) {
  std::vector<std::string> names;
  for (const auto& [known, button] : buttons) {
    if (known == name) return button;
    names.emplace_back(known);
  }
  value.report_unknown("start, stop, reset or limiter_reset", name, names);
  return std::nullopt;
}

/// What an action key makes of its phrase.
struct Reading {
  Act act;
  std::optional<Act> undo;  ///< what `for TIME` does in the end, if there is such a clause
};
using Reader = std::function<std::optional<Reading>(const Phrase&, ValueReader&)>;

/// A phrase of exactly one word out of two.
std::optional<bool> either(const Phrase& phrase, ValueReader& value, std::string_view yes,
                           std::string_view no) {
  if (phrase.head.size() == 1 && phrase.head[0] == yes) return true;
  if (phrase.head.size() == 1 && phrase.head[0] == no) return false;
  value.report_unknown(fmt::format("{} or {}", yes, no), phrase.rest(0),
                       {std::string(yes), std::string(no)});
  return std::nullopt;
}

std::optional<Reading> read_door(const Phrase& phrase, ValueReader& value) {
  const auto open = either(phrase, value, "open", "closed");
  if (!open) return std::nullopt;
  return Reading{MoveDoor{*open}, MoveDoor{!*open}};
}

std::optional<Reading> read_reach(const Phrase& phrase, ValueReader& value) {
  const auto in = either(phrase, value, "in", "out");
  if (!in) return std::nullopt;
  Reading reading{ReachIn{*in}, std::nullopt};
  if (*in) reading.undo = ReachIn{false};
  return reading;
}

std::optional<Reading> read_estop(const Phrase& phrase, ValueReader& value) {
  const auto pressed = either(phrase, value, "pressed", "released");
  if (!pressed) return std::nullopt;
  Reading reading{SetButton{Button::estop, *pressed}, std::nullopt};
  if (*pressed) reading.undo = SetButton{Button::estop, false};
  return reading;
}

std::optional<Reading> read_power(const Phrase& phrase, ValueReader& value) {
  const auto on = either(phrase, value, "on", "off");
  if (!on) return std::nullopt;
  Reading reading{SwitchPower{*on}, std::nullopt};
  if (!*on) reading.undo = SwitchPower{true};
  return reading;
}

std::optional<Reading> read_load(const Phrase& phrase, ValueReader& value) {
  if (phrase.rest(0) == "exchange") return Reading{ExchangeLoad{}, std::nullopt};
  value.report_unknown("exchange", phrase.rest(0), {"exchange"});
  return std::nullopt;
}

std::optional<Reading> read_stall(const Phrase& phrase, ValueReader& value) {
  const auto ms = value.duration(phrase.rest(0), 1);
  if (!ms) return std::nullopt;
  return Reading{Stall{*ms}, std::nullopt};
}

std::optional<Reading> read_store(const Phrase& phrase, ValueReader& value) {
  const std::string& word = phrase.head[0];
  if (word == "flip") {
    const auto offset = value.whole(phrase.rest(1), mock::NonVolatileStore::size - 1);
    const std::string* mask_text = phrase.clause("mask");
    const auto mask =
        mask_text == nullptr ? std::optional<std::uint64_t>(1) : value.whole(*mask_text, 255);
    if (!offset || !mask) return std::nullopt;
    if (*mask == 0) {
      value.report("at least one bit to flip", "mask 0");
      return std::nullopt;
    }
    return Reading{FlipStore{*offset, static_cast<std::uint8_t>(*mask)}, std::nullopt};
  }
  if (phrase.head.size() == 1 && (word == "failing" || word == "working")) {
    Reading reading{FailStore{word == "failing"}, std::nullopt};
    if (word == "failing") reading.undo = FailStore{false};
    return reading;
  }
  value.report_unknown("flip BYTE [mask BITS], failing or working", phrase.rest(0),
                       {"failing", "working"});
  return std::nullopt;
}

std::optional<Reading> read_supply(const Phrase& phrase, ValueReader& value) {
  if (phrase.rest(0) == "normal") return Reading{SetSupply{}, std::nullopt};
  const auto Pa = value.quantity(phrase.rest(0), Dimension::pressure, 0.0, 2'000'000.0);
  if (!Pa) return std::nullopt;
  return Reading{SetSupply{*Pa / 1000.0}, SetSupply{}};
}

std::optional<Reading> read_ambient(const Phrase& phrase, ValueReader& value) {
  const auto degC = value.quantity(phrase.rest(0), Dimension::temperature, -20.0, 60.0);
  if (!degC) return std::nullopt;
  return Reading{SetAmbient{*degC}, std::nullopt};
}

std::optional<Reading> read_ventilation(const Phrase& phrase, ValueReader& value) {
  const auto share = value.quantity(phrase.rest(0), Dimension::ratio, 0.0, 1.0);
  if (!share) return std::nullopt;
  return Reading{SetVentilation{*share}, SetVentilation{1.0}};
}

std::optional<Reading> read_button(const Phrase& phrase, ValueReader& value, bool pressed,
                                   bool let_go) {
  const auto button = button_named(phrase.rest(0), value);
  if (!button) return std::nullopt;
  Reading reading{SetButton{*button, pressed}, std::nullopt};
  if (let_go) reading.undo = SetButton{*button, false};
  return reading;
}

struct ActionKind {
  std::string_view key;
  std::string_view expected;
  std::vector<std::string_view> clauses;
  Reader read;
};

const std::vector<ActionKind>& kinds() {
  static const std::vector<ActionKind> all{
      {"press",
       "a button",
       {"for"},
       [](const Phrase& p, ValueReader& v) { return read_button(p, v, true, true); }},
      {"hold",
       "a button",
       {},
       [](const Phrase& p, ValueReader& v) { return read_button(p, v, true, false); }},
      {"release",
       "a button",
       {},
       [](const Phrase& p, ValueReader& v) { return read_button(p, v, false, false); }},
      {"estop", "pressed or released", {"for"}, read_estop},
      {"door", "open or closed", {"for"}, read_door},
      {"reach", "in or out", {"for"}, read_reach},
      {"load", "exchange", {}, read_load},
      {"power", "off or on", {"for"}, read_power},
      {"stall", "a duration", {}, read_stall},
      {"store", "flip BYTE, failing or working", {"for", "mask"}, read_store},
      {"supply", "a pressure, or normal", {"for"}, read_supply},
      {"ambient", "a temperature", {}, read_ambient},
      {"ventilation", "a share", {"for"}, read_ventilation}};
  return all;
}

}  // namespace

void read_action(const Node& node, const std::string& key, Reporter& reporter,
                 std::vector<Action>& actions) {
  if (node.key == "fault" || node.key == "clock" || node.key == "converter" ||
      node.key == "clear") {
    read_fault_action(node, key, reporter, actions);
    return;
  }
  for (const ActionKind& kind : kinds()) {
    if (kind.key != node.key) continue;
    ValueReader value(reporter, node, key);
    const auto phrase = value.phrase(kind.expected);
    if (!phrase || !value.only_clauses(*phrase, kind.clauses)) return;
    const std::size_t errors = reporter.count();
    std::optional<Reading> reading = kind.read(*phrase, value);
    std::optional<std::uint32_t> for_ms = value.duration_clause(*phrase, "for");
    if (!reading || reporter.count() != errors) return;
    if (phrase->clause("for") != nullptr && !reading->undo) {
      value.report(fmt::format("`{}` without `for`: nothing ends it", phrase->rest(0)),
                   fmt::format("\"{}\"", machine::shown(node.text)));
      return;
    }
    if (node.key == "press" && !for_ms) for_ms = usual_press_ms;
    Action action{reading->act, fmt::format("{} {}", node.key, node.text), std::nullopt, 0};
    if (for_ms) {
      action.undo = reading->undo;
      action.undo_after_ms = *for_ms;
    }
    actions.push_back(std::move(action));
    return;
  }
}

}  // namespace ovenproof::scenario
