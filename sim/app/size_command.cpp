#include "sim/app/size_command.hpp"

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>
#include <stdexcept>
#include <thread>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "sim/app/check_report.hpp"
#include "sim/app/progress.hpp"
#include "sim/app/size_report.hpp"
#include "sim/app/terminal.hpp"
#include "sim/machine/load.hpp"
#include "sim/machine/suggest.hpp"
#include "sim/machine/text_file.hpp"
#include "sim/rig/part_file.hpp"

namespace ovenproof::app {
namespace {

namespace fs = std::filesystem;

struct Arguments {
  std::string machine;
  std::vector<std::string> sweeps;
  std::string figures = "purge_time,floor_process,gas_cycle,cool_cycle,room_steady";
  std::string cylinder_volume = "50 L";
  std::string cylinder_pressure = "200 bar";
  unsigned cylinders = 1;
  double margin = 1.25;
  bool formulas_alone = false;
  bool explain = false;
  bool json = false;
  std::string out;
  unsigned jobs = 0;
};

/// A quantity of the command line, in `unit`; what is wrong with it goes to `errors`.
double quantity(const std::string& option, const std::string& text, machine::Dimension dimension,
                std::string_view unit, double least, double most,
                std::vector<std::string>& errors) {
  const auto parsed = machine::parse_quantity(text, dimension);
  if (const double* base = std::get_if<double>(&parsed)) {
    const double value = machine::to_unit(*base, *machine::find_unit(dimension, unit));
    if (value >= least && value <= most) return value;
  }
  errors.push_back(fmt::format("{}: expected {} from {:g} {} to {:g} {}, found \"{}\"", option,
                               machine::name_of(dimension), least, unit, most, unit,
                               machine::shown(text)));
  return least;
}

std::vector<std::string> figure_ids(const std::string& list, std::vector<std::string>& errors) {
  std::vector<std::string> known;
  for (const std::string_view id : sizing::all_figure_ids()) known.emplace_back(id);
  std::vector<std::string> ids;
  for (std::size_t begin = 0; begin <= list.size();) {
    const std::size_t end = std::min(list.find(',', begin), list.size());
    std::string id = list.substr(begin, end - begin);
    begin = end + 1;
    std::erase(id, ' ');
    if (std::find(known.begin(), known.end(), id) != known.end()) {
      ids.push_back(std::move(id));
      continue;
    }
    const std::string near = machine::nearest(id, known);
    errors.push_back(fmt::format("--figures: there is no figure \"{}\"{}", machine::shown(id),
                                 near.empty() ? "" : fmt::format("; did you mean {}?", near)));
  }
  return ids;
}

/// Each file whole or not at all; all of them after nothing else can go wrong.
bool write_all(const std::string& folder, const std::vector<NamedText>& files) {
  std::error_code failure;
  fs::create_directories(folder, failure);
  if (failure) {
    complain(fmt::format("cannot make the folder {}: {}", folder, failure.message()));
    return false;
  }
  try {
    for (const NamedText& each : files) {
      rig::PartFile file(fs::path(folder) / each.name);
      file.stream() << each.text;
      file.finish();
    }
    return true;
  } catch (const std::runtime_error& error) {
    complain(error.what());
    return false;
  }
}

ExitStatus bad_machine(const std::vector<machine::Error>& errors) {
  std::fputs(error_report(errors, Style(stderr)).c_str(), stderr);
  return ExitStatus::bad_input;
}

ExitStatus size_sweep(const Arguments& arguments, const sizing::Options& options,
                      std::vector<sizing::SweepAxis> axes, std::vector<std::string> figures) {
  auto text = machine::read_text_file(arguments.machine);
  if (auto* error = std::get_if<machine::Error>(&text)) return bad_machine({*error});
  const machine::Tree tree = machine::read_yaml(std::get<std::string>(text), arguments.machine);
  // A file that is wrong by itself is told so once, and not at every point.
  const machine::Loaded as_it_is = machine::load_tree(tree, arguments.machine);
  if (const auto* errors = std::get_if<std::vector<machine::Error>>(&as_it_is)) {
    return bad_machine(*errors);
  }
  auto points = sizing::sweep_points(tree, arguments.machine, axes);
  if (const auto* errors = std::get_if<std::vector<machine::Error>>(&points)) {
    return bad_machine(*errors);
  }
  Sweep sweep{std::move(axes),
              std::move(std::get<std::vector<sizing::SweepPoint>>(points)),
              {},
              std::move(figures)};
  {
    Progress progress;
    sweep.sizings = sizing::size_all(sweep.points, options, [&](std::size_t done) {
      progress.count(done, sweep.points.size(), "points");
    });
  }
  if (!arguments.out.empty() && !write_all(arguments.out, sweep_files(sweep, options))) {
    return ExitStatus::bad_input;
  }
  print(arguments.json ? sweep_json(sweep, options) : sweep_report(sweep, Style(stdout)));
  return sweep.holds() ? ExitStatus::all_holds : ExitStatus::failed;
}

ExitStatus size_one(const Arguments& arguments, const sizing::Options& options) {
  const machine::Loaded loaded = machine::load_file(arguments.machine);
  if (const auto* errors = std::get_if<std::vector<machine::Error>>(&loaded)) {
    return bad_machine(*errors);
  }
  const auto& machine = std::get<machine::Machine>(loaded);
  const sizing::Sizing sizing = sizing::size(machine, options);
  if (!arguments.out.empty() && !write_all(arguments.out, size_files(machine, options, sizing))) {
    return ExitStatus::bad_input;
  }
  print(arguments.json ? size_json(machine, options, sizing)
                       : size_report(machine, sizing, arguments.explain, Style(stdout)));
  return sizing.holds() ? ExitStatus::all_holds : ExitStatus::failed;
}

ExitStatus size(const Arguments& arguments) {
  std::vector<std::string> errors;
  sizing::Options options;
  options.cylinder.volume_L = quantity("--cylinder-volume", arguments.cylinder_volume,
                                       machine::Dimension::volume, "L", 0.1, 100'000.0, errors);
  options.cylinder.pressure_bar =
      quantity("--cylinder-pressure", arguments.cylinder_pressure, machine::Dimension::pressure,
               "bar", 1.0, 1000.0, errors);
  options.cylinder.count = arguments.cylinders;
  options.margin = arguments.margin;
  options.simulate = !arguments.formulas_alone;
  options.jobs =
      arguments.jobs != 0 ? arguments.jobs : std::max(1U, std::thread::hardware_concurrency());
  std::vector<std::string> figures = figure_ids(arguments.figures, errors);
  auto axes = sizing::read_sweeps(arguments.sweeps);
  if (const auto* wrong = std::get_if<std::vector<std::string>>(&axes)) {
    errors.insert(errors.end(), wrong->begin(), wrong->end());
  }
  if (!errors.empty()) {
    for (const std::string& each : errors) {
      complain(each);
    }
    return ExitStatus::bad_input;
  }
  try {
    if (arguments.sweeps.empty()) return size_one(arguments, options);
    return size_sweep(arguments, options, std::move(std::get<std::vector<sizing::SweepAxis>>(axes)),
                      std::move(figures));
  } catch (const std::invalid_argument& error) {
    complain(fmt::format("{}: {}", arguments.machine, error.what()));
    return ExitStatus::bad_input;
  }
}

}  // namespace

void add_size_command(CLI::App& app, Chosen& chosen) {
  const auto arguments = std::make_shared<Arguments>();
  CLI::App* command =
      app.add_subcommand("size", "predict by formula what an oven will do, and simulate it");
  command->add_option("MACHINE", arguments->machine, "a machine file")->required();
  command
      ->add_option("--sweep", arguments->sweeps,
                   "KEY=A..B or KEY=A..B/N: the figures over a range of a\n"
                   "setting, N values; up to two settings")
      ->type_name("RANGE")
      ->allow_extra_args(false);
  command->add_option("--figures", arguments->figures,
                      "of a sweep: ids of the figures to print, commas between");
  command->add_option("--cylinder-volume", arguments->cylinder_volume, "default 50 L");
  command->add_option("--cylinder-pressure", arguments->cylinder_pressure,
                      "of a full one, gauge; default 200 bar");
  command->add_option("--cylinders", arguments->cylinders, "connected at once; default 1")
      ->check(CLI::Range(1, 1000));
  command->add_option("--margin", arguments->margin, "hold the level divided by this; default 1.25")
      ->check(CLI::Range(1.0, 100.0));
  command->add_flag("--formulas-alone", arguments->formulas_alone, "simulate nothing");
  command->add_flag("--explain", arguments->explain,
                    "with each figure its formula, source, assumptions, bound");
  command->add_flag("--json", arguments->json, "print one JSON object instead of text");
  command->add_option("--out", arguments->out, "folder for the figures and curves as CSV and JSON");
  command->add_option("--jobs", arguments->jobs, "simulations at once [one a processor]")
      ->check(CLI::Range(1, 1024));
  command->footer(
      "Purge time, oxygen floor, process flow that just holds the gate, gas and\n"
      "cylinders, heat-up, cool-down with and without jacket air, room oxygen, time\n"
      "until the door may be approached: each by a published formula, and beside it\n"
      "what the simulated oven does, with the deviation (docs/sizing.md).\n"
      "\n"
      "Examples:\n"
      "  ovenproof size scenarios/machines/bronze_strip_160.yaml\n"
      "  ovenproof size --out sizing scenarios/machines/coil_anneal_300.yaml\n"
      "  ovenproof size --sweep \"purge.purge_flow=60 L/min..140 L/min/5\" \\\n"
      "      --figures purge_time,gas_cycle scenarios/machines/bronze_strip_160.yaml\n"
      "\n"
      "Exit status: 0 the simulated cycle ends well; 1 it does not; 2 a file or the\n"
      "command is wrong; 3 internal fault. A figure on which formula and simulation\n"
      "differ is a remark and fails nothing.\n"
      "\n"
      "Caution: estimates for an oven that is as the file says. Measure the real one.");
  command->callback([arguments, &chosen] { chosen = [arguments] { return size(*arguments); }; });
}

}  // namespace ovenproof::app
