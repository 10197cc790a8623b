#include "sim/app/evidence_verify.hpp"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <stdexcept>

#include <fmt/format.h>

#include "sim/app/terminal.hpp"
#include "sim/evidence/difference.hpp"
#include "sim/evidence/origin.hpp"
#include "sim/evidence/read_pack.hpp"
#include "sim/machine/error.hpp"

namespace ovenproof::app {
namespace {

namespace fs = std::filesystem;
using evidence::ListedFile;
using evidence::StatedManifest;

/// One thing that is not as it was.
struct Finding {
  std::string what;  ///< in words
  std::optional<evidence::Difference> at;
  bool of_machine = false;  ///< it is the machine file that is another
};

/// A folder for the pack made again.
class Scratch {
 public:
  Scratch() {
    std::string name = (fs::temp_directory_path() / "ovenproof-verify-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) {
      throw std::runtime_error(fmt::format("cannot make a folder like {}", name));
    }
    path_ = name;
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  [[nodiscard]] fs::path pack() const { return path_ / "pack"; }

 private:
  fs::path path_;
};

/// The pack's own copy of the machine file, if it has a good one.
std::string machine_of(const fs::path& folder, const StatedManifest& stated) {
  const auto& outputs = stated.manifest.outputs;
  const bool listed = std::any_of(outputs.begin(), outputs.end(), [](const ListedFile& each) {
    return each.path == "machine.yaml";
  });
  std::error_code failure;
  if (!listed || !fs::is_regular_file(folder / "machine.yaml", failure)) return {};
  return evidence::read_pack_file(folder / "machine.yaml");
}

/// Inputs that are not what they were. Throws if one is not there: nothing can be made again then.
void compare_inputs(const fs::path& folder, const StatedManifest& stated,
                    const std::string& machine, std::vector<Finding>& found) {
  std::string missing;
  for (const ListedFile& input : stated.manifest.inputs) {
    std::error_code failure;
    if (!fs::is_regular_file(input.path, failure)) missing += "\n    " + machine::shown(input.path);
  }
  if (!missing.empty()) {
    throw std::runtime_error(fmt::format(
        "these inputs of the pack are not here; call from the folder in which it was made:{}",
        missing));
  }
  for (const ListedFile& input : stated.manifest.inputs) {
    if (digest::digest_of(input.path).sha256 == input.digest.sha256) continue;
    Finding finding{"input " + machine::shown(input.path), std::nullopt};
    if (input.path == machine) {
      finding.of_machine = true;
      finding.at = evidence::first_difference("machine.yaml", machine_of(folder, stated),
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

const ListedFile* listed(const std::vector<ListedFile>& files, const std::string& name) {
  const auto at = std::find_if(files.begin(), files.end(),
                               [&name](const ListedFile& each) { return each.path == name; });
  return at == files.end() ? nullptr : &*at;
}

void compare_outputs(const fs::path& folder, const fs::path& again, const StatedManifest& stated,
                     const StatedManifest& remade, std::vector<Finding>& found) {
  const bool machine_differs =
      std::any_of(found.begin(), found.end(), [](const Finding& each) { return each.of_machine; });
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
    // What follows from a difference that is told: the page shows the document, and the copy of
    // the machine file is that of the input.
    if (as_listed && name == "index.html" && document_differs) continue;
    if (as_listed && name == "machine.yaml" && machine_differs) continue;
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
  std::vector<std::string> others;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
    const std::string name = entry.path().filename().string();
    if (name != evidence::manifest_name && listed(stated.manifest.outputs, name) == nullptr) {
      others.push_back(name);
    }
  }
  std::sort(others.begin(), others.end());
  return others;
}

std::string report(const std::string& folder, const StatedManifest& stated,
                   const std::vector<Finding>& found) {
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
    compare_inputs(folder, stated, arguments->machine, found);
    compare_build(stated, found);
    const Scratch scratch;
    arguments->out = scratch.pack().string();
    arguments->jobs = jobs;
    if (!write_pack(*arguments)) {
      // What is wrong with the inputs is told; that they have changed is the reason.
      if (found.empty()) return ExitStatus::bad_input;
      print(report(folder, stated, found));
      return ExitStatus::failed;
    }
    compare_outputs(folder, scratch.pack(), stated, evidence::read_manifest(scratch.pack()), found);
    if (found.empty()) {
      // Whatever else the manifest says.
      auto at = evidence::first_difference(
          evidence::manifest_name,
          evidence::read_pack_file(fs::path(folder) / evidence::manifest_name),
          evidence::read_pack_file(scratch.pack() / evidence::manifest_name));
      if (at) found.push_back({evidence::manifest_name, std::move(at)});
    }
    print(report(folder, stated, found));
    return found.empty() ? ExitStatus::all_holds : ExitStatus::failed;
  } catch (const std::runtime_error& error) {
    complain(error.what());
    return ExitStatus::bad_input;
  }
}

}  // namespace ovenproof::app
