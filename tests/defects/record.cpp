#include "record.hpp"

#include <algorithm>
#include <ctime>
#include <fstream>
#include <optional>
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

std::vector<std::size_t> all_beginnings(const Library& library) {
  std::vector<std::size_t> all(library.beginnings.size());
  for (std::size_t i = 0; i < all.size(); ++i) all[i] = i;
  return all;
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

void record(const std::string& file, int first_line, const std::vector<std::string>& paths) {
  const Library library = load(paths);
  const auto beginnings = all_beginnings(library);
  const auto from = [&](const Checkpoints& checkpoints, std::size_t item) -> const Checkpoint* {
    const std::size_t beginning = library.beginning_of[item];
    return beginning == Library::no_beginning ? nullptr : &*checkpoints[beginning];
  };

  // First as it ships: everything must pass, or no failure later would mean anything.
  std::vector<std::string> sound;
  std::vector<double> cost_s;
  {
    Checkpoints there(beginnings.size());
    reach_beginnings(library, beginnings,
                     [&](std::size_t i, const Checkpoint& checkpoint) { there[i] = checkpoint; });
    for (std::size_t i = 0; i < library.items.size(); ++i) {
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
  }

  // Then once more, taking notes.
  select(recording);
  const std::vector<int> everywhere =
      places_that_differ();  // in what is set up before any firmware
  json out{{"items", json::array()}, {"beginnings", json::array()}};
  Checkpoints there(beginnings.size());
  std::vector<json> on_the_way(beginnings.size());
  forget_differences();
  reach_beginnings(library, beginnings, [&](std::size_t i, const Checkpoint& checkpoint) {
    there[i] = checkpoint;
    on_the_way[i] = together(everywhere, places_that_differ());
  });
  for (const json& each : on_the_way) out["beginnings"].push_back({{"differs", each}});
  for (std::size_t i = 0; i < library.items.size(); ++i) {
    forget_differences();
    const CaseResult result = play_item(library, i, from(there, i), false);
    if (summary(result) != sound[i]) {
      throw std::runtime_error(library.items[i].name() + " came out otherwise while taking notes");
    }
    json item{{"name", library.items[i].name()},
              {"file", library.items[i].file()},
              {"cost_s", cost_s[i]},
              {"differs", places_that_differ()}};
    const std::size_t beginning = library.beginning_of[i];
    if (beginning != Library::no_beginning) item["beginning"] = beginning;
    out["items"].push_back(std::move(item));
  }
  out["reached"] = places_reached();

  // And what the matrix would change where the first line of defence is gone.
  select(first_line);
  note_the_matrix();
  for (std::size_t i = 0; i < library.items.size(); ++i) {
    forget_differences();
    play_item(library, i, from(there, i), false);
    out["items"][i]["differs_beside"] = places_that_differ();
  }

  std::ofstream stream(file);
  stream << out.dump() << '\n';
  stream.close();
  if (!stream) throw std::runtime_error("cannot write " + file);
}

}  // namespace ovenproof::defects
