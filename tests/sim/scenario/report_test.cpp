#include <filesystem>
#include <fstream>
#include <sstream>

#include <boost/property_tree/ptree.hpp>
#include <boost/property_tree/xml_parser.hpp>
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "fixture.hpp"
#include "sim/app/scenario_report.hpp"

using namespace ovenproof;
using boost::property_tree::ptree;
using nlohmann::json;
using scenario::Item;

namespace {

const std::string program = PROGRAM;
const std::string machine_file = SOURCE_DIR "/scenarios/machines/bronze_strip_160.yaml";

struct Suite {
  std::vector<Item> items;
  std::vector<scenario::CaseResult> results;
};

Suite run(const std::vector<std::string>& texts) {
  Suite suite;
  for (const std::string& text : texts) {
    for (scenario::Case& each : test::cases_of(text))
      suite.items.emplace_back().what = std::move(each);
  }
  suite.results = scenario::run_suite(suite.items, {}, {});
  return suite;
}

const Suite& one_of_each() {
  static const Suite suite =
      run({"table: {word: [plain, \"a <b> & \\\"c\\\" 'd'\"]}\n"
           "steps: [{at: 1 s, hold: stop, note: '{word}'}]\n"
           "expect: [never hands.stop]\n",
           "until: 1 s\n", "steps: [{on: soak, timeout: 1 s, note: never}]\n"});
  return suite;
}

ptree junit_of(const Suite& suite) {
  std::istringstream in(app::suite_junit({suite.items, suite.results}));
  ptree tree;
  boost::property_tree::read_xml(in, tree);
  return tree;
}

/// A folder with one scenario that fails.
struct FailingFile {
  FailingFile() {
    std::string text = test::head();
    text.replace(text.find("../machines"), 11, SOURCE_DIR "/scenarios/machines");
    std::ofstream(folder.path() / "stop it.yaml")
        << text
        << "table: {word: [one, two's]}\nsteps: [{at: 1 s, hold: stop, note: '{word}'}]\n"
           "expect: [never hands.stop]\n";
  }
  test::Folder folder;
  [[nodiscard]] std::string path() const { return (folder.path() / "stop it.yaml").string(); }
};

}  // namespace

TEST_CASE("JUnit XML has what both common schemas demand, in their order") {
  const ptree tree = junit_of(one_of_each());
  REQUIRE(tree.size() == 1);
  const ptree& suites = tree.get_child("testsuites");
  CHECK(suites.count("<xmlattr>") == 0);  // the stricter schema allows none there
  REQUIRE(suites.count("testsuite") == 1);
  const ptree& suite = suites.get_child("testsuite");
  for (const char* attribute :
       {"name", "package", "id", "timestamp", "hostname", "tests", "failures", "errors", "time"}) {
    CHECK(suite.get_child("<xmlattr>").count(attribute) == 1);
  }
  CHECK(suite.get_child("<xmlattr>").size() == 9);
  std::vector<std::string> order;
  for (const auto& [name, child] : suite) {
    if (order.empty() || order.back() != name) order.push_back(name);
  }
  CHECK(order == std::vector<std::string>{"<xmlattr>", "properties", "testcase", "system-out",
                                          "system-err"});
  for (const auto& [name, child] : suite) {
    if (name != "testcase") continue;
    CHECK(child.get_child("<xmlattr>").size() == 3);
    CHECK(child.get<double>("<xmlattr>.time") > 0.0);
    for (const auto& [kind, reason] : child) {
      if (kind == "<xmlattr>") continue;
      CHECK((kind == "failure" || kind == "error"));
      CHECK_FALSE(reason.get<std::string>("<xmlattr>.message").empty());
      CHECK_FALSE(reason.get<std::string>("<xmlattr>.type").empty());
      CHECK(reason.data().find("before it") != std::string::npos);
    }
  }
}

TEST_CASE("JUnit XML counts tests, failures and what could not be played") {
  const ptree suite = junit_of(one_of_each()).get_child("testsuites.testsuite");
  CHECK(suite.get<int>("<xmlattr>.tests") == 4);
  CHECK(suite.get<int>("<xmlattr>.failures") == 2);
  CHECK(suite.get<int>("<xmlattr>.errors") == 1);
  CHECK(suite.count("testcase") == 4);
  std::size_t failures = 0;
  std::size_t errors = 0;
  for (const auto& [name, child] : suite) {
    failures += name == "testcase" ? child.count("failure") : 0;
    errors += name == "testcase" ? child.count("error") : 0;
  }
  CHECK(failures == 2);
  CHECK(errors == 1);
}

TEST_CASE("JUnit XML gives names back as they were, whatever signs they hold") {
  const ptree suite = junit_of(one_of_each()).get_child("testsuites.testsuite");
  std::vector<std::string> names;
  for (const auto& [name, child] : suite) {
    if (name == "testcase") names.push_back(child.get<std::string>("<xmlattr>.name"));
  }
  CHECK(names.at(1) == "test [word=a <b> & \"c\" 'd']");
}

TEST_CASE(
    "A failure in the report says what was expected, what happened, when, and how to replay") {
  const auto& suite = one_of_each();
  const std::string text = app::failure_report(suite.items[0], suite.results[0], app::Style{});
  CHECK(text.find("expected  never hands.stop") != std::string::npos);
  CHECK(text.find("happened  violated") != std::string::npos);
  CHECK(text.find("margin") != std::string::npos);
  CHECK(text.find("when      1.010 s into the case") != std::string::npos);
  CHECK(text.find("hold stop") != std::string::npos);
  CHECK(text.find("ovenproof run --filter 'test [word=plain]' ") != std::string::npos);
}

TEST_CASE("The command that a failure prints replays that case alone and fails alike") {
  const FailingFile file;
  const auto whole = test::shell(program + " run --json '" + file.path() + "'");
  CHECK(whole.status == 1);
  const json all = json::parse(whole.out);
  REQUIRE(all["cases"].size() == 2);
  for (const json& one : all["cases"]) {
    std::string command = one["replay"];
    REQUIRE(command.starts_with("ovenproof run "));
    command = program + command.substr(9) + " --json";
    const auto again = test::shell(command);
    CHECK(again.status == 1);
    const json replayed = json::parse(again.out);
    REQUIRE(replayed["cases"].size() == 1);
    CHECK(replayed["cases"][0] == one);
  }
}

TEST_CASE("Exit status tells whether all holds, something failed, or the input was wrong") {
  const FailingFile file;
  const std::string quoted = "'" + file.path() + "'";
  const std::string good = SOURCE_DIR "/scenarios/cases/emergency_stop.yaml";
  CHECK(test::shell(program + " run " + good).status == 0);
  CHECK(test::shell(program + " run " + quoted).status == 1);
  CHECK(test::shell(program + " run " + quoted + " " + good).status == 1);
  CHECK(test::shell(program + " run no_such_file.yaml 2>&1").status == 2);
  CHECK(test::shell(program + " run " SOURCE_DIR "/tests/sim/scenario/bad 2>/dev/null").status ==
        2);
  CHECK(test::shell(program + " run --filter 'no such case' " + quoted + " 2>/dev/null").status ==
        2);
  CHECK(test::shell(program + " run --trace vcd " + quoted + " 2>/dev/null").status == 2);
}

TEST_CASE(
    "A wrong file among good ones runs nothing, and JUnit XML says why, in a folder made for it") {
  test::Folder folder;
  const std::string junit = (folder.path() / "new" / "out.xml").string();
  const auto ran = test::shell(program + " run --junit " + junit + " " +
                               SOURCE_DIR "/scenarios/cases/emergency_stop.yaml " +
                               SOURCE_DIR "/tests/sim/scenario/bad/steps.yaml 2>/dev/null");
  CHECK(ran.status == 2);
  CHECK(ran.out.empty());
  ptree tree;
  boost::property_tree::read_xml(junit, tree);
  const ptree& suite = tree.get_child("testsuites.testsuite");
  CHECK(suite.get<std::string>("<xmlattr>.name").ends_with("bad/steps.yaml"));
  CHECK(suite.get<int>("<xmlattr>.errors") > 20);
  CHECK(suite.get<int>("<xmlattr>.tests") == suite.get<int>("<xmlattr>.errors"));
  CHECK(
      suite.get_child("testcase.error").get<std::string>("<xmlattr>.message").find("steps.yaml:") !=
      std::string::npos);
}

TEST_CASE("The list names every case, and a filter chooses among them") {
  const std::string file = SOURCE_DIR "/scenarios/cases/emergency_stop.yaml";
  CHECK(test::shell(program + " run --list " + file).out ==
        "emergency_stop [phase=purging]\nemergency_stop [phase=ramp]\n"
        "emergency_stop [phase=soak]\nemergency_stop [phase=cooling]\n");
  CHECK(test::shell(program + " run --list --filter phase=soak " + file).out ==
        "emergency_stop [phase=soak]\n");
}

TEST_CASE("A folder gives its machines and scenarios, and passes over other YAML") {
  test::Folder folder;
  std::filesystem::copy(SOURCE_DIR "/scenarios", folder.path() / "s",
                        std::filesystem::copy_options::recursive);
  std::ofstream(folder.path() / "s" / "other.yaml") << "columns: [a, b]\n";
  const auto ran = test::shell(program + " run --list " + folder.path().string() + " 2>&1");
  CHECK(ran.status == 0);
  CHECK(ran.out.find("emergency_stop [phase=ramp]") != std::string::npos);
  CHECK(ran.out.find("bronze_strip_160 [whole cycles]") != std::string::npos);
  CHECK(ran.out.find("other.yaml: neither a machine nor a scenario") != std::string::npos);
}

TEST_CASE("A machine alone is told in full, and among others it is one of the cases") {
  const auto alone = test::shell(program + " run --json --cycles 1 " + machine_file);
  CHECK(json::parse(alone.out).contains("figures"));
  const auto among = test::shell(program + " run --json --cycles 1 " + machine_file + " " +
                                 SOURCE_DIR "/scenarios/cases/emergency_stop.yaml");
  CHECK(among.status == 0);
  CHECK(json::parse(among.out)["cases"].size() == 5);
}

TEST_CASE("Coverage is told in text and in JSON, and only when it is wanted") {
  const std::string file = SOURCE_DIR "/scenarios/cases/emergency_stop.yaml";
  const json told = json::parse(test::shell(program + " run --json --coverage " + file).out);
  CHECK(told["coverage"]["requirements"]["R-ESTOP"] == 4);
  CHECK(told["coverage"]["requirements"]["R-STOP"] == 0);
  CHECK(told["coverage"]["phases"]["soak"] == true);
  CHECK(told["coverage"]["phases"]["flushing"] == false);
  CHECK_FALSE(json::parse(test::shell(program + " run --json " + file).out).contains("coverage"));
  const std::string text = test::shell(program + " run --coverage " + file).out;
  CHECK(text.find("4     R-ESTOP") != std::string::npos);
  CHECK(text.find("none  R-STOP ") != std::string::npos);
  CHECK(text.find("not taken:") != std::string::npos);
}

TEST_CASE("The report fits 80 columns but for the commands to copy") {
  const auto& suite = one_of_each();
  std::istringstream text(app::suite_report({suite.items, suite.results}, app::Style{}) +
                          app::coverage_report({suite.items, suite.results}, app::Style{}));
  for (std::string line; std::getline(text, line);) {
    if (line.find("  replay    ") != 0) CHECK_MESSAGE(line.size() <= 80, line);
  }
}
