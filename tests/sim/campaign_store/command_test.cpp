#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <sys/wait.h>

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "generated.hpp"
#include "sim/digest/sha256.hpp"
#include "sim/evidence/origin.hpp"
#include "terminal_text.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign_store;
using namespace ovenproof::test;
using nlohmann::json;

/// `ovenproof campaign`, the real program, on files as it keeps them and on wrong commands. No
/// campaign is run here.
namespace {

const std::string bronze = std::string(SOURCE_DIR) + "/scenarios/machines/bronze_strip_160.yaml";

struct Run {
  int status = -1;
  std::string out;
  std::string err;
};

Run run(const Folder& folder, const std::string& arguments) {
  const std::string command = fmt::format("cd '{0}' && '{1}' campaign {2} >out 2>err </dev/null",
                                          folder.path().string(), PROGRAM, arguments);
  const int raw = std::system(command.c_str());
  REQUIRE(WIFEXITED(raw));
  Run result{WEXITSTATUS(raw), bytes_of(folder / "out"), bytes_of(folder / "err")};
  std::filesystem::remove(folder / "out");
  std::filesystem::remove(folder / "err");
  return result;
}

/// Results as of a campaign over the first demo machine.
Generated of_bronze(std::uint64_t seed) {
  Generated all = generate(seed);
  all.inputs.machine = "bronze_strip_160";
  all.inputs.machine_text = bytes_of(bronze);
  all.inputs.machine_sha256 = digest::sha256(all.inputs.machine_text);
  all.inputs.build = evidence::program_sources;
  return all;
}

/// Cells of comma-separated values by RFC 4180.
std::vector<std::vector<std::string>> csv_rows(const std::string& text) {
  std::vector<std::vector<std::string>> rows(1, std::vector<std::string>(1));
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted) {
      if (c != '"') {
        rows.back().back() += c;
      } else if (i + 1 < text.size() && text[i + 1] == '"') {
        rows.back().back() += text[++i];
      } else {
        quoted = false;
      }
    } else if (c == '"') {
      quoted = true;
    } else if (c == ',') {
      rows.back().emplace_back();
    } else if (c == '\r' && i + 1 < text.size() && text[i + 1] == '\n') {
      ++i;
      rows.emplace_back(1);
    } else {
      rows.back().back() += c;
    }
  }
  rows.pop_back();
  return rows;
}

}  // namespace

TEST_CASE("a campaign's file is printed, as text and as JSON, with its safety functions") {
  const Folder folder;
  const Generated all = of_bronze(51);
  write_whole(folder / "c.db", all);
  const bool hazardous = std::any_of(
      all.results.begin(), all.results.begin() + static_cast<std::ptrdiff_t>(all.plan.singles),
      [&](const campaign::Result& each) {
        const campaign::Mode& mode = all.plan.modes[all.plan.injections[each.number].mode];
        return each.outcome == campaign::Outcome::hazardous && mode.accepted_reason.empty();
      });
  const Run text = run(folder, "report c.db");
  CHECK(text.status == (hazardous ? 1 : 0));
  CHECK(text.err.empty());
  CHECK(ovenproof::test::unfit_line(text.out) == "");
  for (const char* const part :
       {"Bronze strip oven, 160 L", "Safety functions", "Heat off when the door opens",
        "not computed", "confirmed by a competent person", "certifies nothing"}) {
    CAPTURE(part);
    CHECK(text.out.find(part) != std::string::npos);
  }
  const Run machine_read = run(folder, "report c.db --json");
  CHECK(machine_read.status == text.status);
  const json parsed = json::parse(machine_read.out);
  CHECK(parsed["results"].size() == all.results.size());
  CHECK(parsed["safety_functions"].size() == 3);
  CHECK(parsed["safety_functions"][2]["not_computed_needs"].dump().find(
            "operations of flow switch of the process gas") != std::string::npos);
  CHECK(folder.names() == std::vector<std::string>{"c.db"});
}

TEST_CASE("every result goes into comma-separated values, whatever its texts hold") {
  const Folder folder;
  const Generated all = of_bronze(52);
  write_whole(folder / "c.db", all);
  const Run csv = run(folder, "report c.db --csv rows.csv");
  CHECK(csv.out.empty());
  const auto rows = csv_rows(bytes_of(folder / "rows.csv"));
  REQUIRE(rows.size() == all.results.size() + 1);
  for (const auto& row : rows) REQUIRE(row.size() == rows[0].size());
  const auto column = [&](std::string_view name) {
    return static_cast<std::size_t>(std::find(rows[0].begin(), rows[0].end(), name) -
                                    rows[0].begin());
  };
  for (const campaign::Result& each : all.results) {
    const auto& row = rows[each.number + 1];
    const campaign::Injection& injection = all.plan.injections[each.number];
    CHECK(row[column("number")] == std::to_string(each.number));
    CHECK(row[column("mode")] == all.plan.modes[injection.mode].id);
    CHECK(row[column("outcome")] == name(each.outcome));
    CHECK(row[column("second_mode")].empty() != injection.second.has_value());
    CHECK(row[column("reaction_ms")] ==
          (each.detection ? std::to_string(each.detection->reaction_ms) : ""));
  }
  CHECK(run(folder, "report c.db --csv nowhere/rows.csv").status == 2);
  CHECK(folder.names() == std::vector<std::string>{"c.db", "rows.csv"});
}

TEST_CASE("shards are merged by the program into the bytes of the whole") {
  const Folder folder;
  const Generated all = of_bronze(53);
  write_whole(folder / "whole.db", all);
  for (std::uint32_t i = 1; i <= 3; ++i) {
    write_whole(folder / fmt::format("p{}.db", i), all, {i, 3}, i);
  }
  const Run shard = run(folder, "report p2.db");
  CHECK(shard.status == 0);
  CHECK(shard.out.find("shard 2 of 3") != std::string::npos);
  CHECK(shard.out.find("HOLDS") == std::string::npos);  // a part is no verdict

  const Run missing = run(folder, "merge out.db p1.db p3.db");
  CHECK(missing.status == 2);
  CHECK(missing.err.find("missing: shard 2/3") != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(folder / "out.db"));

  const Run merged = run(folder, "merge out.db p3.db p1.db p2.db");
  CHECK(merged.out == run(folder, "report whole.db").out);
  CHECK(bytes_of(folder / "out.db") == bytes_of(folder / "whole.db"));
  CHECK(run(folder, "merge out.db p3.db p1.db p2.db").status == 2);  // it is there already
}

TEST_CASE("the first lines say how many hazards are accepted and by whom, or that nobody signed") {
  const Folder folder;
  Generated all = of_bronze(56);
  const auto accept = [&](const char* reason) {
    for (campaign::Plan* const plan : {&all.plan, &all.singles}) {
      for (campaign::Mode& mode : plan->modes) {
        mode.excluded = false;
        mode.exclusion_reason.clear();
        mode.accepted_reason = reason;
      }
    }
  };
  accept("a guard stands there");
  for (campaign::Result& each : all.results) each.outcome = campaign::Outcome::hazardous;
  write_whole(folder / "signed.db", all);
  const Run good = run(folder, "report signed.db");
  CAPTURE(good.out);
  CHECK(good.status == 0);
  const std::string first = good.out.substr(0, 600);
  CHECK(first.find("HOLDS with ") != std::string::npos);
  CHECK(first.find(" accepted hazards") != std::string::npos);
  CHECK(first.find("accepted by A. Example (invented)") != std::string::npos);
  CHECK(good.out.find("because a guard stands there") != std::string::npos);
  CHECK(good.out.find("NOT SIGNED OFF") == std::string::npos);

  // What a campaign on a copy of the machine file finds: nothing of the list is accepted there.
  accept("");
  all.inputs.machine_text.replace(all.inputs.machine_text.find("name: Bronze"), 12, "name: Copied");
  all.inputs.machine_sha256 = digest::sha256(all.inputs.machine_text);
  write_whole(folder / "copy.db", all);
  const Run copy = run(folder, "report copy.db");
  CAPTURE(copy.out);
  CHECK(copy.status == 1);
  const std::string begin = copy.out.substr(0, 600);
  CHECK(begin.find("NOT SIGNED OFF for this machine") != std::string::npos);
  CHECK(begin.find("sign_off.machine: expected") != std::string::npos);
  CHECK(copy.out.find("do not use the following figures") != std::string::npos);
  CHECK(ovenproof::test::unfit_line(copy.out) == "");
}

TEST_CASE("files that are none of a campaign, or not what they say, end with 2 and a reason") {
  const Folder folder;
  std::ofstream(folder / "text.db") << std::string(5000, 'x');
  Generated forged = of_bronze(54);
  forged.inputs.machine_text += "# changed\n";
  write_whole(folder / "forged.db", forged);
  Generated odd = of_bronze(55);
  odd.inputs.machine_text = "name: [\n";
  odd.inputs.machine_sha256 = digest::sha256(odd.inputs.machine_text);
  write_whole(folder / "odd.db", odd);
  struct Bad {
    const char* arguments;
    const char* why;
  };
  for (const auto& [arguments, why] : std::initializer_list<Bad>{
           {"report none.db", "cannot be opened"},
           {"report text.db", "not a database"},
           {"report forged.db", "does not have its SHA-256"},
           {"report odd.db", "machine file bronze_strip_160"},
           {"report", "FILE"},
           {"report c.db --csv a.csv --json", "--csv"},
           {"merge out.db", "PART"},
           {"merge out.db text.db none.db", "not a database"},
           {"--shard 1/2", "expected a MACHINE"},
           {"m.yaml --shard 3/2 --out c.db", "--shard: expected K/N"},
           {"m.yaml --shard 0/2 --out c.db", "--shard: expected K/N"},
           {"m.yaml --shard 1/ --out c.db", "--shard: expected K/N"},
           {"m.yaml --shard 1/2x --out c.db", "--shard: expected K/N"},
           {"m.yaml --shard 1/99999999999 --out c.db", "--shard: expected K/N"},
           {"m.yaml --shard 1/2", "--shard needs --out"},
           {"m.yaml --resume", "--resume needs --out"},
           {"m.yaml --out c.db --list", "--out goes neither"},
           {"none.yaml --out c.db", "none.yaml"},
       }) {
    CAPTURE(arguments);
    const Run bad = run(folder, arguments);
    CAPTURE(bad.err);
    CHECK(bad.status == 2);
    CHECK(bad.out.empty());
    CHECK(bad.err.find(why) != std::string::npos);
    CHECK(ovenproof::test::unfit_line(bad.err) == "");
  }
  CHECK(folder.names() == std::vector<std::string>{"forged.db", "odd.db", "text.db"});
}
