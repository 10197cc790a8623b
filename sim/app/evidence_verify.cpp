#include "sim/app/evidence_verify.hpp"

#include <algorithm>
#include <filesystem>
#include <set>
#include <stdexcept>

#include <fmt/format.h>

#include "sim/app/terminal.hpp"
#include "sim/evidence/difference.hpp"
#include "sim/evidence/input_tree.hpp"
#include "sim/evidence/origin.hpp"
#include "sim/evidence/read_pack.hpp"
#include "sim/machine/error.hpp"
#include "sim/scratch/temporary_folder.hpp"

namespace ovenproof::app {
namespace {

namespace fs = std::filesystem;
using evidence::ListedFile;
using evidence::StatedManifest;

/// One thing that is not as it was.
struct Finding {
  std::string what;  ///< in words
  std::optional<evidence::Difference> at;
};

/// Works in another folder while it lives.
class WorkingFolder {
 public:
  explicit WorkingFolder(const fs::path& path) : before_(fs::current_path()) {
    fs::current_path(path);
  }
  WorkingFolder(const WorkingFolder&) = delete;
  WorkingFolder& operator=(const WorkingFolder&) = delete;
  ~WorkingFolder() {
    std::error_code ignored;
    fs::current_path(before_, ignored);
  }

 private:
  fs::path before_;
};

bool is_file(const fs::path& path) {
  std::error_code failure;
  return fs::is_regular_file(path, failure);
}

/// Inputs that the pack does not hold as they were, and files here that have become others since.
/// Throws if one is nowhere: nothing can be made again then.
void compare_inputs(const fs::path& folder, const StatedManifest& stated,
                    std::vector<Finding>& found) {
  const evidence::InputTree tree(stated.manifest.inputs);
  std::string missing;
  for (const ListedFile& input : stated.manifest.inputs) {
    const std::string place = tree.place_of(input.path);
    if (!is_file(place.empty() ? fs::path(input.path) : folder / place)) {
      missing += "\n    " + machine::shown(place.empty() ? input.path : place);
    }
  }
  if (!missing.empty()) {
    throw std::runtime_error(fmt::format(
        "these inputs of the pack are missing, so it cannot be made again:{}", missing));
  }
  for (const ListedFile& input : stated.manifest.inputs) {
    const std::string place = tree.place_of(input.path);
    if (!place.empty() && digest::digest_of(folder / place).sha256 != input.digest.sha256) {
      found.push_back({machine::shown(place) + ": not the file that the manifest lists", {}});
    }
    if (!is_file(input.path) || digest::digest_of(input.path).sha256 == input.digest.sha256) {
      continue;
    }
    Finding finding{"input " + machine::shown(input.path) + ", as it lies here", {}};
    if (!place.empty()) {
      finding.at = evidence::first_difference(input.path, evidence::read_pack_file(folder / place),
                                              evidence::read_pack_file(input.path));
    }
    found.push_back(std::move(finding));
  }
}

void compare_build(const StatedManifest& stated, std::vector<Finding>& found) {
  const auto compare = [&found](std::string what, const std::string& then, std::string_view now) {
    if (then == now) return;
    found.push_back({std::move(what), evidence::Difference{"", then, std::string(now)}});
  };
  compare("program", stated.program, "ovenproof " + std::string(evidence::program_version()));
  compare("build: sources of the firmware", stated.firmware_sources, evidence::firmware_sources);
  compare("build: sources of the program", stated.program_sources, evidence::program_sources);
  const auto now = evidence::library_versions();
  for (const auto& [library, version] : now) {
    const auto then =
        std::find_if(stated.libraries.begin(), stated.libraries.end(),
                     [&name = library](const auto& each) { return each.first == name; });
    compare("build: " + library, then == stated.libraries.end() ? "nothing" : then->second,
            version);
  }
}

/// In the order in which one comes from the other; all others between them by name.
std::vector<std::string> in_order(const std::vector<ListedFile>& then,
                                  const std::vector<ListedFile>& now) {
  std::vector<std::string> names;
  for (const auto* files : {&then, &now}) {
    for (const ListedFile& each : *files) names.push_back(each.path);
  }
  const auto rank = [](const std::string& name) {
    return name == "machine.yaml"    ? 0
           : name == "cycle.csv"     ? 1
           : name == "evidence.json" ? 3
           : name == "index.html"    ? 4
                                     : 2;
  };
  std::sort(names.begin(), names.end(), [&rank](const std::string& a, const std::string& b) {
    return std::pair(rank(a), a) < std::pair(rank(b), b);
  });
  names.erase(std::unique(names.begin(), names.end()), names.end());
  return names;
}

bool is_input(std::string_view name) {
  return name.starts_with(std::string(evidence::inputs_folder) + '/');
}

const ListedFile* listed(const std::vector<ListedFile>& files, const std::string& name) {
  const auto at = std::find_if(files.begin(), files.end(),
                               [&name](const ListedFile& each) { return each.path == name; });
  return at == files.end() ? nullptr : &*at;
}

void compare_outputs(const fs::path& folder, const fs::path& again, const StatedManifest& stated,
                     const StatedManifest& remade, std::vector<Finding>& found) {
  bool document_differs = false;
  for (const std::string& name : in_order(stated.manifest.outputs, remade.manifest.outputs)) {
    const ListedFile* then = listed(stated.manifest.outputs, name);
    const ListedFile* now = listed(remade.manifest.outputs, name);
    if (then == nullptr || now == nullptr) {
      found.push_back({fmt::format("{}: {}", machine::shown(name),
                                   then == nullptr ? "made again, and not in the pack"
                                                   : "in the pack, and not made again"),
                       std::nullopt});
      continue;
    }
    std::error_code failure;
    if (!fs::is_regular_file(folder / name, failure)) {
      found.push_back({name + ": listed in the manifest, and not in the folder", std::nullopt});
      continue;
    }
    const std::string text = evidence::read_pack_file(folder / name);
    auto at = evidence::first_difference(name, text, evidence::read_pack_file(again / name));
    const bool as_listed = digest::sha256(text) == then->digest.sha256;
    if (name == "evidence.json") document_differs = at.has_value();
    if (!at && as_listed) continue;
    // The page shows the document: it differs because the document does, which is reported.
    if (as_listed && name == "index.html" && document_differs) continue;
    if (is_input(name)) continue;  // reported with the inputs
    found.push_back(
        {as_listed ? name : name + ": not the file that the manifest lists", std::move(at)});
  }
}

std::string finding_text(const Finding& finding) {
  std::string text = finding.what;
  if (finding.at && !finding.at->where.empty()) text += ": " + finding.at->where;
  text = paragraph(machine::shown(text, 400), 2, 4);
  if (!finding.at) return text;
  text += paragraph("in the pack: " + machine::shown(finding.at->first, 200), 4, 6);
  return text + paragraph("now: " + machine::shown(finding.at->second, 200), 4, 6);
}

/// Files in the folder that the manifest does not list.
std::vector<std::string> others_in(const fs::path& folder, const StatedManifest& stated) {
  std::set<std::string> names{evidence::manifest_name};
  for (const ListedFile& each : stated.manifest.outputs) names.insert(each.path);
  return evidence::not_listed(folder, names);
}

/// What was taken from the kept campaign, and what a person runs to see it come out again.
std::string campaign_remark(const fs::path& folder, const StatedManifest& stated,
                            const EvidenceArguments& arguments) {
  const evidence::InputTree tree(stated.manifest.inputs);
  const auto here = [&](const std::string& path) {
    const std::string place = tree.place_of(path);
    return place.empty() ? path : (folder / place).string();
  };
  const std::string file = here(arguments.campaign_file);
  std::string command = fmt::format("ovenproof campaign {} --out again.db && cmp again.db {}",
                                    here(arguments.machine), file);
  return paragraph(
      fmt::format("Not run again: the injections of the campaign. Their results were read "
                  "from {}, which is of this machine file and by this build; all else was "
                  "run again. To run them again, with the --instants, --seed and --pairs "
                  "that the file states: {}",
                  machine::shown(file), machine::shown(command, 400)),
      2, 4);
}

std::string report(const std::string& folder, const StatedManifest& stated,
                   const EvidenceArguments& arguments, const std::vector<Finding>& found) {
  const Style style(stdout);
  std::string text = style.heading(paragraph(folder)) + "  ";
  if (found.empty()) {
    text +=
        style.good("THE SAME") + fmt::format(
                                     ": {} files made again to the byte, from {} "
                                     "unchanged input{}\n",
                                     stated.manifest.outputs.size(), stated.manifest.inputs.size(),
                                     stated.manifest.inputs.size() == 1 ? "" : "s");
  } else {
    text += style.error("DIFFERS") + ", in the order of cause\n\n";
    for (const Finding& each : found) text += finding_text(each);
  }
  if (!arguments.campaign_file.empty()) text += campaign_remark(folder, stated, arguments);
  for (const std::string& other : others_in(folder, stated)) {
    text += paragraph(machine::shown(other) + ": not of the pack, and not looked at", 2, 4);
  }
  text += '\n' + paragraph(stated.program + ", sources " + stated.program_sources.substr(0, 16) +
                               ", firmware " + stated.firmware_sources.substr(0, 16) +
                               ", made the pack with:",
                           2, 2);
  return text + paragraph(machine::shown(stated.manifest.command, 1000), 4, 6);
}

}  // namespace

ExitStatus verify_evidence(const std::string& folder, unsigned jobs) {
  try {
    const StatedManifest stated = evidence::read_manifest(folder);
    std::optional<EvidenceArguments> arguments = read_replay_arguments(stated.manifest.arguments);
    if (!arguments) {
      throw std::runtime_error(
          fmt::format("{}: /arguments: expected what \"ovenproof evidence\" takes",
                      (fs::path(folder) / evidence::manifest_name).string()));
    }
    std::vector<Finding> found;
    compare_inputs(folder, stated, found);
    compare_build(stated, found);
    const scratch::TemporaryFolder scratch(fs::temp_directory_path(), "ovenproof-verify-");
    const fs::path again = scratch.path() / "pack";
    arguments->out = again.string();
    arguments->jobs = jobs;
    const auto make_again = [&] {
      const WorkingFolder there(
          evidence::InputTree(stated.manifest.inputs).lay_out(folder, scratch.path()));
      return write_pack(*arguments).has_value();
    };
    if (!make_again()) {
      // What is wrong with the inputs is told; that they have changed is the reason.
      if (found.empty()) return ExitStatus::bad_input;
      print(report(folder, stated, *arguments, found));
      return ExitStatus::failed;
    }
    compare_outputs(folder, again, stated, evidence::read_manifest(again), found);
    if (found.empty()) {
      // Whatever else the manifest says.
      auto at = evidence::first_difference(
          evidence::manifest_name,
          evidence::read_pack_file(fs::path(folder) / evidence::manifest_name),
          evidence::read_pack_file(again / evidence::manifest_name));
      if (at) found.push_back({evidence::manifest_name, std::move(at)});
    }
    print(report(folder, stated, *arguments, found));
    return found.empty() ? ExitStatus::all_holds : ExitStatus::failed;
  } catch (const std::runtime_error& error) {
    complain(error.what());
    return ExitStatus::bad_input;
  }
}

}  // namespace ovenproof::app
