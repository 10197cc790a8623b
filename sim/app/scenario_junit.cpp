#include <sstream>

#include <boost/property_tree/ptree.hpp>
#include <boost/property_tree/xml_parser.hpp>
#include <fmt/format.h>

#include "sim/app/cautions.hpp"
#include "sim/app/scenario_report.hpp"
#include "sim/machine/error.hpp"

namespace ovenproof::app {
namespace {

using boost::property_tree::ptree;
using scenario::CaseResult;
using scenario::Item;

/// Text that XML 1.0 can hold: no control characters but newlines.
std::string fit(const std::string& text) {
  std::string out;
  std::string_view rest = text;
  while (true) {
    const std::size_t end = rest.find('\n');
    const std::string_view line = rest.substr(0, end);
    out += machine::shown(line, line.size());
    if (end == std::string_view::npos) return out;
    out += '\n';
    rest.remove_prefix(end + 1);
  }
}

std::string seconds(std::uint64_t ms) { return fmt::format("{}.{:03}", ms / 1000, ms % 1000); }

/// Why a case failed, in one line.
std::string message_of(const CaseResult& result) {
  if (!result.problems.empty()) return result.problems.front();
  for (const auto& each : result.expectations) {
    if (!each.met) return fmt::format("{}: {}", each.name, each.happened);
  }
  for (const auto& each : result.hazards) {
    if (!each.fine()) return fmt::format("hazard: {}", each.verdict.title);
  }
  return "";
}

ptree case_tree(const Item& item, const CaseResult& result) {
  ptree tree;
  tree.put("<xmlattr>.name", fit(item.name()));
  tree.put("<xmlattr>.classname", fit(item.file()));
  tree.put("<xmlattr>.time", seconds(result.ended_ms - result.began_ms));
  if (!result.passed()) {
    // What could not be played at all is an error of the scenario, not a failure of the oven.
    ptree& failure = tree.add(result.problems.empty() ? "failure" : "error",
                              fit(failure_report(item, result, Style{})));
    failure.put("<xmlattr>.message", fit(message_of(result)));
    failure.put("<xmlattr>.type", result.problems.empty() ? "property" : "scenario");
  }
  return tree;
}

/// What every suite has, but for its test cases.
ptree empty_suite(const std::string& file, std::size_t id, std::size_t tests, std::size_t failures,
                  std::size_t errors, std::uint64_t simulated_ms) {
  ptree suite;
  suite.put("<xmlattr>.name", fit(file));
  suite.put("<xmlattr>.package", "ovenproof");
  suite.put("<xmlattr>.id", id);
  suite.put("<xmlattr>.timestamp", "1970-01-01T00:00:00");
  suite.put("<xmlattr>.hostname", "localhost");
  suite.put("<xmlattr>.tests", tests);
  suite.put("<xmlattr>.failures", failures);
  suite.put("<xmlattr>.errors", errors);
  suite.put("<xmlattr>.time", seconds(simulated_ms));
  ptree& property = suite.add("properties.property", "");
  property.put("<xmlattr>.name", "time");
  property.put("<xmlattr>.value", "simulated seconds");
  return suite;
}

/// The mistakes of one file that could not be read, `first` to before `last`.
ptree unread_tree(const std::vector<machine::Error>& errors, std::size_t first, std::size_t last,
                  std::size_t id) {
  ptree suite = empty_suite(errors[first].file, id, last - first, 0, last - first, 0);
  for (std::size_t i = first; i < last; ++i) {
    const std::string text = fit(machine::to_text(errors[i]));
    ptree tree;
    tree.put("<xmlattr>.name", fmt::format("read, mistake {}", i - first + 1));
    tree.put("<xmlattr>.classname", fit(errors[i].file));
    tree.put("<xmlattr>.time", seconds(0));
    ptree& error = tree.add("error", text);
    error.put("<xmlattr>.message", text.substr(0, text.find('\n')));
    error.put("<xmlattr>.type", "file");
    suite.add_child("testcase", tree);
  }
  suite.add("system-out", std::string(caution));
  suite.add("system-err", "");
  return suite;
}

/// The results of one file, `first` to before `last`.
ptree suite_tree(const SuiteRun& run, std::size_t first, std::size_t last, std::size_t id) {
  std::size_t failures = 0;
  std::size_t errors = 0;
  std::uint64_t simulated_ms = 0;
  ptree cases;
  for (std::size_t i = first; i < last; ++i) {
    const CaseResult& result = run.results[i];
    simulated_ms += result.ended_ms - result.began_ms;
    if (!result.passed()) ++(result.problems.empty() ? failures : errors);
    cases.add_child("testcase", case_tree(run.items[i], result));
  }
  ptree suite =
      empty_suite(run.items[first].file(), id, last - first, failures, errors, simulated_ms);
  for (const auto& [name, child] : cases) suite.add_child(name, child);
  suite.add("system-out", std::string(caution));
  suite.add("system-err", "");
  return suite;
}

}  // namespace

std::string suite_junit(const SuiteRun& run, const std::vector<machine::Error>& unread) {
  ptree suites;
  std::size_t id = 0;
  for (std::size_t first = 0; first < run.results.size();) {
    std::size_t last = first;
    while (last < run.results.size() && run.items[last].file() == run.items[first].file()) ++last;
    suites.add_child("testsuite", suite_tree(run, first, last, id++));
    first = last;
  }
  for (std::size_t first = 0; first < unread.size();) {
    std::size_t last = first;
    while (last < unread.size() && unread[last].file == unread[first].file) ++last;
    suites.add_child("testsuite", unread_tree(unread, first, last, id++));
    first = last;
  }
  ptree root;
  root.add_child("testsuites", suites);
  std::ostringstream out;
  boost::property_tree::write_xml(
      out, root, boost::property_tree::xml_writer_make_settings<std::string>(' ', 2));
  return out.str();
}

}  // namespace ovenproof::app
