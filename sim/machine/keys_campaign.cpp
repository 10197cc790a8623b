#include <fmt/format.h>

#include "sim/machine/key_rows.hpp"

/// The table of keys: what is said of the failure modes that a campaign tries.
namespace ovenproof::machine::rows {

namespace {

constexpr std::string_view accepted = "campaign.accepted";
constexpr std::string_view excluded = "campaign.excluded";
constexpr std::string_view added = "campaign.added";
constexpr std::string_view analysis = "failure analysis of the machine";

template <class Item>
using ItemsOf = std::vector<Item> CampaignRemarks::*;

template <class Item>
Key text_of(std::string_view list, std::string_view name, int most_characters, ItemsOf<Item> items,
            std::string Item::*member, std::string_view what) {
  Key key;
  key.path = fmt::format("{}[].{}", list, name);
  key.kind = KeyKind::text;
  key.minimum = 1;
  key.maximum = most_characters;
  key.required = true;
  key.what = what;
  key.source = analysis;
  key.get_texts = [=](const Machine& m, std::size_t item) {
    const std::string& text = (m.campaign.*items).at(item).*member;
    return text.empty() ? std::vector<std::string>{} : std::vector<std::string>{text};
  };
  key.put_texts = [=](Machine& m, std::size_t item, std::vector<std::string> texts) {
    (m.campaign.*items).at(item).*member = std::move(texts.front());
  };
  return key;
}

Key onset_key() {
  Key key;
  key.path = fmt::format("{}[].onset", added);
  key.kind = KeyKind::choice;
  key.choices = {"abrupt", "intermittent", "drifting"};
  key.maximum = static_cast<double>(key.choices.size() - 1);
  key.what = "how it begins, for the report";
  key.source = analysis;
  key.put = [](Machine& m, std::size_t item, double value) {
    m.campaign.added.at(item).onset = static_cast<std::size_t>(value);
  };
  key.get = [](const Machine& m, std::size_t item) {
    return item < m.campaign.added.size() ? static_cast<double>(m.campaign.added[item].onset) : 0.0;
  };
  return key;
}

}  // namespace

const List accepted_list{
    accepted,
    "Failure modes that may end hazardous, each with the reason why",
    "an accepted mode: mode, reason",
    "accepted modes",
    false,
    1000,
    [](const Machine& m) { return m.campaign.accepted.size(); },
    [](Machine& m, std::size_t size) { m.campaign.accepted.assign(size, {}); },
    [](Machine& m, std::size_t item, Place at) { m.campaign.accepted.at(item).at = at; }};

const List excluded_list{
    excluded,
    "Failure modes that are not tried, each with the reason why",
    "an excluded mode: mode, reason",
    "excluded modes",
    false,
    1000,
    [](const Machine& m) { return m.campaign.excluded.size(); },
    [](Machine& m, std::size_t size) { m.campaign.excluded.assign(size, {}); },
    [](Machine& m, std::size_t item, Place at) { m.campaign.excluded.at(item).at = at; }};

const List added_list{
    added,
    "Failure modes beside those of the catalogue",
    "an added mode: mode, what, action, reason",
    "added modes",
    false,
    100,
    [](const Machine& m) { return m.campaign.added.size(); },
    [](Machine& m, std::size_t size) { m.campaign.added.assign(size, {}); },
    [](Machine& m, std::size_t item, Place at) { m.campaign.added.at(item).at = at; }};

std::vector<Key> campaign_keys() {
  constexpr auto a = &CampaignRemarks::accepted;
  constexpr auto e = &CampaignRemarks::excluded;
  constexpr auto n = &CampaignRemarks::added;
  return {
      text_of(accepted, "mode", 80, a, &ModeRemark::mode,
              "its id, as `ovenproof campaign --list` shows it"),
      text_of(accepted, "reason", 400, a, &ModeRemark::reason, "why it is accepted; printed"),
      text_of(excluded, "mode", 80, e, &ModeRemark::mode,
              "its id, as `ovenproof campaign --list` shows it"),
      text_of(excluded, "reason", 400, e, &ModeRemark::reason,
              "why it need not be considered, as ISO 13849-2 allows it; printed"),
      text_of(added, "mode", 80, n, &AddedMode::mode, "its id: component, dot, name"),
      text_of(added, "what", 200, n, &AddedMode::what, "what fails, in words"),
      onset_key(),
      text_of(added, "action", 200, n, &AddedMode::action,
              "what is done, as a step of a scenario file says it (docs/scenarios.md)"),
      text_of(added, "reason", 400, n, &AddedMode::reason, "why it is considered; printed"),
  };
}

}  // namespace ovenproof::machine::rows
