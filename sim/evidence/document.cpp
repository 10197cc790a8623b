#include "sim/evidence/document.hpp"

#include <nlohmann/json.hpp>

#include "sim/evidence/origin.hpp"
#include "sim/evidence/sections.hpp"

namespace ovenproof::evidence {
namespace {

Json making_section(const Making& making) {
  Json libraries = Json::object();
  for (const auto& [library, version] : library_versions()) libraries[library] = version;
  return {{"program", "ovenproof " + std::string(program_version())},
          {"program_sources", program_sources},
          {"firmware_sources", firmware_sources},
          {"libraries", std::move(libraries)},
          {"command", making.command},
          {"date", making.stated_date}};
}

/// One line a section, so that a line that differs tells which one.
std::string lines(const Json& document) {
  std::string text = "{\n";
  for (const auto& [name, section] : document.items()) {
    text += (text.size() > 2 ? ",\n" : "") + Json(name).dump() + ": " +
            section.dump(-1, ' ', false, Json::error_handler_t::replace);
  }
  return text + "\n}\n";
}

}  // namespace

Document document(const Findings& findings, const Making& making) {
  Json all{{"format", document_format},
           {"version", document_version},
           {"made", making_section(making)},
           {"summary", nullptr},
           {"machine", machine_section(findings.machine)}};
  all["cycle"] = findings.cycle ? cycle_section(findings.machine, *findings.cycle) : Json();
  all["matrix"] = matrix_section(findings);
  all["state_chart"] = chart_section(findings);
  all["hazards"] = hazards_section(findings);
  all["requirements"] = requirements_section(findings);
  all["scenarios"] = findings.scenarios ? scenarios_section(findings) : Json();
  all["proof"] = findings.proof ? proof_section(*findings.proof) : Json();
  all["campaign"] = findings.campaign ? campaign_section(*findings.campaign) : Json();
  all["sizing"] = findings.sizing ? sizing_section(*findings.sizing) : Json();
  all["commissioning"] = commissioning_section(findings.machine);
  all["alarms"] = alarms_section(findings.machine);
  Json files = Json::array();
  for (const RawFile& each : making.files) {
    files.push_back({{"name", each.name}, {"what", each.what}});
  }
  all["files"] = std::move(files);
  all["summary"] = summary_section(findings, all, making.caution);
  const auto words = [&all](const char* part) {
    std::vector<std::string> texts;
    for (const Json& one : all["summary"][part]) texts.push_back(one["text"].get<std::string>());
    return texts;
  };
  return {lines(all),
          {all["summary"]["verdict"].get<std::string>(), words("refuted"), words("accepted"),
           words("shown"), words("not_covered")}};
}

}  // namespace ovenproof::evidence
