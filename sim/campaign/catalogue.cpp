#include "sim/campaign/catalogue.hpp"

#include <algorithm>
#include <map>
#include <set>

#include <fmt/format.h>

#include "sim/campaign/realise.hpp"
#include "sim/machine/io_list.hpp"
#include "sim/machine/suggest.hpp"

namespace ovenproof::campaign {
namespace {

std::string component_of(const std::string& id) { return id.substr(0, id.find_last_of('.')); }

std::vector<Mode> standard_modes(const machine::Machine& machine) {
  std::vector<Mode> all;
  for (const auto& modes :
       {contact_modes(machine), sensor_modes(machine), output_modes(machine),
        component_modes(machine), common_modes(machine), controller_modes(machine)}) {
    all.insert(all.end(), modes.begin(), modes.end());
  }
  return all;
}

Mode* find(std::vector<Mode>& modes, const std::string& id) {
  const auto found =
      std::find_if(modes.begin(), modes.end(), [&](const Mode& mode) { return mode.id == id; });
  return found == modes.end() ? nullptr : &*found;
}

void add(const machine::AddedMode& added, std::vector<Mode>& all) {
  auto how = read_realisation(static_cast<Onset>(added.onset), {added.action});
  if (std::holds_alternative<std::string>(how) || find(all, added.mode) != nullptr) return;
  Mode mode;
  mode.id = added.mode;
  mode.component = component_of(added.mode);
  const auto same = std::find_if(
      all.begin(), all.end(), [&](const Mode& each) { return each.component == mode.component; });
  mode.kind = same == all.end() ? ComponentKind::enclosure : same->kind;
  mode.what = added.what;
  mode.source = "machine file: " + added.reason;
  mode.from_file = true;
  mode.realisations.push_back(std::get<Realisation>(std::move(how)));
  all.push_back(std::move(mode));
}

}  // namespace

std::string tag_of(std::string_view key, const machine::Machine& machine) {
  if (key == "oxygen") {
    const bool cell =
        machine.settings.options.oxygen_sensor == settings::OxygenSensor::zirconia_cell;
    key = cell ? "oxygen_cell" : "oxygen_loop";
  }
  const auto points = machine::all_points();
  const auto found = std::find_if(points.begin(), points.end(),
                                  [&](const machine::Point& each) { return each.key == key; });
  return found == points.end() ? std::string(key)
                               : machine.tags[static_cast<std::size_t>(found - points.begin())];
}

std::vector<Mode> catalogue(const machine::Machine& machine) {
  std::vector<Mode> all = standard_modes(machine);
  for (const machine::AddedMode& each : machine.campaign.added) add(each, all);
  if (!machine::sign_off_fault(machine)) {
    for (const machine::ModeRemark& each : machine.campaign.excluded) {
      if (Mode* mode = find(all, each.mode)) {
        mode->excluded = true;
        mode->exclusion_reason = each.reason;
      }
    }
    for (const machine::ModeRemark& each : machine.campaign.accepted) {
      if (Mode* mode = find(all, each.mode)) mode->accepted_reason = each.reason;
    }
  }
  // Grouped by component, in the order in which components first come.
  std::map<std::string, std::size_t> place;
  for (const Mode& mode : all) place.emplace(mode.component, place.size());
  std::stable_sort(all.begin(), all.end(), [&](const Mode& a, const Mode& b) {
    return place.at(a.component) < place.at(b.component);
  });
  return all;
}

std::vector<machine::Error> remark_errors(const machine::Machine& machine) {
  std::vector<machine::Error> errors;
  const auto report = [&](machine::Place at, std::string key, std::string expected,
                          const std::string& found, const std::string& hint = "") {
    errors.push_back({machine.path, at, std::move(key), std::move(expected), found, hint, {}});
  };
  std::vector<std::string> known;
  for (const Mode& mode : standard_modes(machine)) known.push_back(mode.id);
  const std::vector<machine::AddedMode>& added = machine.campaign.added;
  for (std::size_t i = 0; i < added.size(); ++i) {
    const std::string key = fmt::format("campaign.added[{}]", i + 1);
    const std::string shown = machine::shown(added[i].mode);
    const std::size_t dot = added[i].mode.find_last_of('.');
    if (dot == std::string::npos || dot == 0 || dot + 1 == added[i].mode.size()) {
      report(added[i].at, key + ".mode", "a component, a dot and a name, such as XV-1.sticky",
             shown);
    } else if (std::find(known.begin(), known.end(), added[i].mode) != known.end()) {
      report(added[i].at, key + ".mode", "an id of its own", shown + ", which is there already");
    }
    known.push_back(added[i].mode);
    const auto how = read_realisation(Onset::abrupt, {added[i].action});
    if (const auto* wrong = std::get_if<std::string>(&how)) {
      const std::size_t comma = wrong->find(", found ");
      report(added[i].at, key + ".action", wrong->substr(9, comma - 9), wrong->substr(comma + 8));
    }
  }
  const auto check = [&](const std::vector<machine::ModeRemark>& remarks, const char* list) {
    std::set<std::string> seen;
    for (std::size_t i = 0; i < remarks.size(); ++i) {
      const std::string key = fmt::format("campaign.{}[{}].mode", list, i + 1);
      const std::string& id = remarks[i].mode;
      if (std::find(known.begin(), known.end(), id) == known.end()) {
        const std::string near = machine::nearest(id, known);
        report(remarks[i].at, key, "a failure mode of this oven (ovenproof campaign --list)",
               machine::shown(id), near.empty() ? "" : fmt::format("did you mean {}?", near));
      } else if (!seen.insert(id).second) {
        report(remarks[i].at, key, "each mode once", machine::shown(id) + " again");
      }
    }
  };
  check(machine.campaign.accepted, "accepted");
  check(machine.campaign.excluded, "excluded");
  std::stable_sort(errors.begin(), errors.end(), [](const auto& a, const auto& b) {
    return std::pair(a.at.line, a.at.column) < std::pair(b.at.line, b.at.column);
  });
  return errors;
}

}  // namespace ovenproof::campaign
