#include "sim/machine/sign_off.hpp"

#include <algorithm>
#include <array>
#include <vector>

#include <fmt/format.h>

#include "sim/digest/sha256.hpp"
#include "sim/machine/keys.hpp"

namespace ovenproof::machine {

namespace {

constexpr std::size_t digest_digits = 32;

/// A value in a form that depends on nothing but the value. Ten digits: a volume written in L and
/// one written in m3 may differ in the last bit, and no oven in the last of ten digits.
std::string canonical(const Key& key, const Machine& machine, std::size_t item) {
  std::string text;
  if (key.get_texts) {
    for (const std::string& each : key.get_texts(machine, item)) {
      text += fmt::format("{}:{};", each.size(), each);
    }
    return text;
  }
  if (key.kind == KeyKind::choice) return value_text(key, machine, item);
  return fmt::format("{:.9e}", key.get(machine, item) + 0.0);
}

/// The first place of what has to be signed for, and the key that stands there.
std::pair<Place, std::string> first_statement(const Machine& machine) {
  std::vector<std::pair<Place, std::string>> all;
  const auto add = [&](Place at, const char* key) { all.emplace_back(at, key); };
  if (!machine.campaign.accepted.empty()) {
    add(machine.campaign.accepted.front().at, "campaign.accepted");
  }
  if (!machine.campaign.excluded.empty()) {
    add(machine.campaign.excluded.front().at, "campaign.excluded");
  }
  for (const auto& each : machine.safety.components) {
    add({each.line, each.column}, "safety.components");
  }
  for (const auto& each : machine.safety.functions) {
    add({each.line, each.column}, "safety.functions");
  }
  return *std::min_element(all.begin(), all.end(), [](const auto& a, const auto& b) {
    return std::pair(a.first.line, a.first.column) < std::pair(b.first.line, b.first.column);
  });
}

}  // namespace

bool needs_sign_off(const Machine& machine) {
  return !machine.campaign.accepted.empty() || !machine.campaign.excluded.empty() ||
         !machine.safety.components.empty() || !machine.safety.functions.empty();
}

std::string sign_off_digest(const Machine& machine) {
  std::vector<std::string> lines;
  for (const Key& key : all_keys()) {
    if (key.path.starts_with("sign_off.")) continue;
    if (!has_part(key.part, machine.settings.options)) continue;
    const List* list = list_of(key.path);
    const std::size_t items = list == nullptr ? 1 : list->size(machine);
    for (std::size_t item = 0; item < items; ++item) {
      if (!has_value(key, machine, item)) continue;
      lines.push_back(
          fmt::format("{}[{}]={}\n", key.path, item + 1, canonical(key, machine, item)));
    }
  }
  std::sort(lines.begin(), lines.end());
  std::string text;
  for (const std::string& line : lines) text += line;
  return digest::sha256(text).substr(0, digest_digits);
}

std::optional<Error> sign_off_fault(const Machine& machine) {
  if (!needs_sign_off(machine)) return std::nullopt;
  const SignOff& signature = machine.sign_off;
  const std::string how =
      "what the file accepts, excludes and states of safety does not count; to sign for it, once "
      "you have looked at it: ovenproof check --digest FILE";
  const auto fault = [&](Place at, std::string key, std::string expected, std::string found) {
    return Error{machine.path, at, std::move(key), std::move(expected), std::move(found), how, {}};
  };
  const std::array<std::pair<const char*, const std::string*>, 4> parts{
      {{"sign_off.by", &signature.by},
       {"sign_off.date", &signature.date},
       {"sign_off.machine", &signature.machine},
       {"sign_off.digest", &signature.digest}}};
  if (std::all_of(parts.begin(), parts.end(),
                  [](const auto& part) { return part.second->empty(); })) {
    const auto [at, key] = first_statement(machine);
    return fault(at, key, "a sign-off for this machine (sign_off)", "none");
  }
  for (const auto& [key, text] : parts) {
    if (text->empty()) {
      return fault(signature.at, key, accepts_text(*find_key(key)), "nothing");
    }
  }
  if (signature.machine != machine.name) {
    return fault(signature.at, "sign_off.machine",
                 fmt::format("the name of this machine, \"{}\"", shown(machine.name, 120)),
                 fmt::format("\"{}\"", shown(signature.machine, 120)));
  }
  if (const std::string digest = sign_off_digest(machine); signature.digest != digest) {
    return fault(signature.at, "sign_off.digest", digest + ", that of the machine as it is now",
                 signature.digest);
  }
  return std::nullopt;
}

std::string sign_off_text(const Machine& machine) {
  std::string name;
  for (const char c : machine.name) {
    if (c == '"' || c == '\\') name += '\\';
    name += c;
  }
  return fmt::format(
      "sign_off:\n"
      "  by: # your name\n"
      "  date: # today, such as 2026-03-31\n"
      "  machine: \"{}\"\n"
      "  digest: {}\n",
      name, sign_off_digest(machine));
}

}  // namespace ovenproof::machine
