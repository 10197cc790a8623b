#include "sim/campaign/realise.hpp"

#include <stdexcept>

#include <fmt/format.h>

#include "sim/scenario/read_actions.hpp"

namespace ovenproof::campaign {

std::string phrase_of(const scenario::Action& action) {
  const std::size_t blank = action.text.find(' ');
  return fmt::format("{}: {}", action.text.substr(0, blank), action.text.substr(blank + 1));
}

std::variant<Realisation, std::string> read_realisation(Onset onset,
                                                        const std::vector<std::string>& phrases) {
  Realisation realisation{onset, {}};
  for (const std::string& phrase : phrases) {
    const std::size_t colon = phrase.find(": ");
    if (colon == std::string::npos) {
      return fmt::format("expected what is done, such as `fault: k1 open`, found \"{}\"",
                         machine::shown(phrase));
    }
    machine::Node node;
    node.kind = machine::Node::Kind::scalar;
    node.key = phrase.substr(0, colon);
    node.text = phrase.substr(colon + 2);
    scenario::Reporter reporter("", "");
    const std::size_t before = realisation.actions.size();
    scenario::read_action(node, node.key, reporter, realisation.actions);
    for (const machine::Error& error : reporter.take()) {
      return fmt::format("expected {}, found {}{}", error.expected, error.found,
                         error.hint.empty() ? "" : fmt::format(" ({})", error.hint));
    }
    if (realisation.actions.size() == before) {
      return fmt::format("expected something that can be done to an oven, found \"{}\"",
                         machine::shown(node.key));
    }
  }
  return realisation;
}

Realisation realise(Onset onset, const std::vector<std::string>& phrases) {
  auto read = read_realisation(onset, phrases);
  if (const auto* wrong = std::get_if<std::string>(&read)) throw std::logic_error(*wrong);
  return std::get<Realisation>(std::move(read));
}

}  // namespace ovenproof::campaign
