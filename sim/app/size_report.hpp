#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "sim/app/terminal.hpp"
#include "sim/sizing/size.hpp"
#include "sim/sizing/sweep.hpp"

namespace ovenproof::app {

/// A figure for people: three significant digits and its unit; shares of the room's oxygen and the
/// like, in percent, with two decimals.
std::string figure_text(double value, std::string_view unit);

/// A machine's figures, charts and cautions for a terminal. `explain`: with each figure its
/// formula, source, assumptions and what was simulated.
std::string size_report(const machine::Machine& machine, const sizing::Sizing& sizing, bool explain,
                        const Style& style);
std::string size_json(const machine::Machine& machine, const sizing::Options& options,
                      const sizing::Sizing& sizing);

/// A curve drawn in 80 columns of plain characters.
std::string chart(const sizing::Curve& curve);

/// What came of a sweep.
struct Sweep {
  std::vector<sizing::SweepAxis> axes;
  std::vector<sizing::SweepPoint> points;
  std::vector<sizing::Sizing> sizings;  ///< of the points
  std::vector<std::string> figures;     ///< ids of those to be shown

  [[nodiscard]] bool holds() const;
};
std::string sweep_report(const Sweep& sweep, const Style& style);
std::string sweep_json(const Sweep& sweep, const sizing::Options& options);

/// Name and content of a file.
struct NamedText {
  std::string name;
  std::string text;
};
/// The same as data: figures.csv, floors.csv, oxygen.csv, temperature.csv, size.json; of a sweep
/// sweep.csv and sweep.json.
std::vector<NamedText> size_files(const machine::Machine& machine, const sizing::Options& options,
                                  const sizing::Sizing& sizing);
std::vector<NamedText> sweep_files(const Sweep& sweep, const sizing::Options& options);

}  // namespace ovenproof::app
