#include "record.hpp"

#include <algorithm>
#include <ctime>
#include <fstream>
#include <optional>
#include <set>
#include <stdexcept>

#include <nlohmann/json.hpp>

#include "library.hpp"
#include "places.hpp"
#include "recording.hpp"

namespace ovenproof::defects {
namespace {

using nlohmann::json;
using Checkpoints = std::vector<std::optional<Checkpoint>>;

double cpu_s() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

std::vector<std::size_t> items_of(const Share& share, const Library& library) {
  std::vector<std::size_t> items;
  for (std::size_t i = share.index; i < library.items.size(); i += share.count) items.push_back(i);
  return items;
}

/// Where these items begin.
std::vector<std::size_t> beginnings_of(const std::vector<std::size_t>& items,
                                       const Library& library) {
  std::set<std::size_t> found;
  for (const std::size_t item : items) {
    const std::size_t beginning = library.beginning_of[item];
    if (beginning != Library::no_beginning) found.insert(beginning);
  }
  return {found.begin(), found.end()};
}

/// The beginnings of the share's ovens.
std::vector<std::size_t> ways_of(const Share& share, const Library& library) {
  std::vector<const scenario::OvenContext*> ovens;
  std::vector<std::size_t> ways;
  for (std::size_t i = 0; i < library.beginnings.size(); ++i) {
    const scenario::OvenContext* oven = library.beginnings[i].oven;
    const auto known = std::find(ovens.begin(), ovens.end(), oven);
    if (share.has(static_cast<std::size_t>(known - ovens.begin()))) ways.push_back(i);
    if (known == ovens.end()) ovens.push_back(oven);
  }
  return ways;
}

/// What must not depend on whether notes are taken.
std::string summary(const CaseResult& result) {
  std::string text = std::to_string(result.began_ms) + " " + std::to_string(result.ended_ms);
  for (const auto& each : result.expectations) text += "|" + each.happened;
  for (const auto& each : result.hazards) {
    text += "|" + std::to_string(each.verdict.first_ms.value_or(0));
  }
  for (const auto& each : result.problems) text += "|" + each;
  return text;
}

std::vector<int> together(std::vector<int> a, const std::vector<int>& b) {
  std::vector<int> both;
  std::set_union(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(both));
  return both;
}

}  // namespace

void record(const std::string& file, int first_line, const Share& share,
            const std::vector<std::string>& paths) {
  const Library library = load(paths);
  const auto items = items_of(share, library);
  const auto from = [&](const Checkpoints& checkpoints, std::size_t item) -> const Checkpoint* {
    const std::size_t beginning = library.beginning_of[item];
    return beginning == Library::no_beginning ? nullptr : &*checkpoints[beginning];
  };

  // First as it ships: everything must pass, or no failure later would mean anything.
  std::vector<std::string> sound;
  std::vector<double> cost_s;
  Checkpoints there(library.beginnings.size());
  reach_beginnings(library, beginnings_of(items, library),
                   [&](std::size_t i, const Checkpoint& checkpoint) { there[i] = checkpoint; });
  for (const std::size_t i : items) {
    const double began = cpu_s();
    const CaseResult result = play_item(library, i, from(there, i), false);
    cost_s.push_back(cpu_s() - began);
    if (!result.passed()) {
      const Finding finding = findings_of(result).front();
      throw std::runtime_error(library.items[i].file() + ": " + library.items[i].name() +
                               " fails on the firmware without defect: " + finding.name + " " +
                               finding.why);
    }
    sound.push_back(summary(result));
  }

  // Then once more, taking notes.
  select(recording);
  const std::vector<int> everywhere =
      places_that_differ();  // in what is set up before any firmware
  json out{{"items", std::vector<json>(library.items.size())},
           {"beginnings", std::vector<json>(library.beginnings.size())}};
  forget_differences();
  reach_beginnings(library, ways_of(share, library), [&](std::size_t i, const Checkpoint&) {
    out["beginnings"][i] = {{"differs", together(everywhere, places_that_differ())}};
  });
  for (std::size_t n = 0; n < items.size(); ++n) {
    const std::size_t i = items[n];
    forget_differences();
    const CaseResult result = play_item(library, i, from(there, i), false);
    if (summary(result) != sound[n]) {
      throw std::runtime_error(library.items[i].name() + " came out otherwise while taking notes");
    }
    json item{{"name", library.items[i].name()},
              {"file", library.items[i].file()},
              {"cost_s", cost_s[n]},
              {"differs", places_that_differ()}};
    const std::size_t beginning = library.beginning_of[i];
    if (beginning != Library::no_beginning) item["beginning"] = beginning;
    out["items"][i] = std::move(item);
  }
  out["reached"] = places_reached();

  // And what the matrix would change where the first line of defence is gone, then without trips.
  const auto note_beside = [&](const char* key) {
    for (const std::size_t i : items) {
      forget_differences();
      play_item(library, i, from(there, i), false);
      out["items"][i][key] = places_that_differ();
    }
  };
  select(first_line);
  note_the_matrix();
  note_beside("differs_beside");
  leave_out_trips();
  note_beside("differs_without_trips");

  std::ofstream stream(file);
  stream << out.dump() << '\n';
  stream.close();
  if (!stream) throw std::runtime_error("cannot write " + file);
}

}  // namespace ovenproof::defects
