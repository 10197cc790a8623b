#include "sim/evidence/state_chart.hpp"

#include <algorithm>
#include <cctype>
#include <map>
#include <set>
#include <typeinfo>

#include <boost/core/demangle.hpp>
#include <boost/mpl/for_each.hpp>
#include <boost/mpl/vector.hpp>

#include "firmware/logic/machine.hpp"

namespace ovenproof::evidence {
namespace {

using namespace logic;

/// "FanRunOnState", "reset_accepted" -> "fan run on", "reset accepted"
std::string words(std::string_view name) {
  std::string text;
  for (const char c : name) {
    const bool capital = std::isupper(static_cast<unsigned char>(c)) != 0;
    if ((capital || c == '_') && !text.empty()) text += ' ';
    if (c != '_') text += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  return text;
}

std::string last_name(std::string_view path) {
  const std::size_t colon = path.rfind(':');
  return std::string(colon == std::string_view::npos ? path : path.substr(colon + 1));
}

template <class T>
std::string type_name() {
  return boost::core::demangle(typeid(T).name());
}

std::string without(std::string name, std::string_view suffix) {
  if (name.ends_with(suffix)) name.resize(name.size() - suffix.size());
  return name;
}

/// Name of a function that is a template's argument: "When<&(a::b::gate_reached(a::Scan const&))>".
std::string function_name(std::string_view type) {
  const std::size_t begin = type.find('<');
  if (begin == std::string_view::npos) return "";
  std::string_view rest = type.substr(begin + 1);
  rest.remove_prefix(std::min(rest.find_first_not_of("&("), rest.size()));
  return words(last_name(rest.substr(0, rest.find_first_of("(>"))));
}

template <class T>
struct Machine {
  static constexpr bool is = false;
};
template <class Definition_>
struct Machine<boost::msm::back::state_machine<Definition_>> {
  static constexpr bool is = true;
  using Definition = Definition_;
};

/// What is known while the tables are read.
struct Reading {
  std::vector<std::string> order;  ///< states in the order in which the tables name them
  std::map<std::string, std::vector<ChartState>> inside;
  std::vector<ChartTransition> own;    ///< rows of the table itself
  std::vector<ChartTransition> inner;  ///< rows of the machines inside it
  std::set<std::string> initial;

  void name(const std::string& state) {
    if (std::find(order.begin(), order.end(), state) == order.end()) order.push_back(state);
  }
};

template <class Definition>
Reading read();

/// Its name; a machine's table is read the first time it is met.
template <class State>
std::string met(Reading& reading) {
  if constexpr (Machine<State>::is) {
    using Definition = typename Machine<State>::Definition;
    const std::string name = words(without(last_name(type_name<Definition>()), "Definition"));
    if (!reading.inside.contains(name)) {
      Reading inner = read<Definition>();
      std::vector<ChartState>& states = reading.inside[name];
      for (const std::string& each : inner.order) {
        states.push_back({each, inner.initial.contains(each), inner.inside[each]});
      }
      for (const auto* rows : {&inner.own, &inner.inner}) {
        reading.inner.insert(reading.inner.end(), rows->begin(), rows->end());
      }
    }
    reading.name(name);
    return name;
  } else {
    const std::string name = words(without(last_name(type_name<State>()), "State"));
    reading.name(name);
    return name;
  }
}

/// Takes up one row.
struct TakeRow {
  Reading& reading;
  template <class Row>
  void operator()(Row* /*tag*/) const {
    ChartTransition row;
    row.from = met<typename Row::Source>(reading);
    row.to = met<typename Row::Target>(reading);
    row.event = last_name(type_name<typename Row::Evt>());
    row.guard = function_name(type_name<typename Row::Guard>());
    row.action = function_name(type_name<typename Row::Action>());
    reading.own.push_back(std::move(row));
  }
};

struct TakeInitial {
  Reading& reading;
  template <class State>
  void operator()(State* /*tag*/) const {
    reading.initial.insert(met<State>(reading));
  }
};

/// One initial state, or a vector of them.
template <class States>
struct AllInitial : boost::mpl::vector<States> {};
template <class... States>
struct AllInitial<boost::mpl::vector<States...>> : boost::mpl::vector<States...> {};

template <class Definition>
Reading read() {
  Reading reading;
  boost::mpl::for_each<AllInitial<typename Definition::initial_state>,
                       boost::add_pointer<boost::mpl::_1>>(TakeInitial{reading});
  boost::mpl::for_each<typename Definition::transition_table, boost::add_pointer<boost::mpl::_1>>(
      TakeRow{reading});
  return reading;
}

/// The word with which all states of a region begin; "sequence" if there is none.
std::string region_name(const std::vector<ChartState>& states) {
  const std::string first = states.front().name.substr(0, states.front().name.find(' '));
  const bool common = std::all_of(states.begin(), states.end(), [&](const ChartState& each) {
    return each.name.starts_with(first + ' ');
  });
  return common ? first : "sequence";
}

}  // namespace

std::vector<ChartRegion> state_chart() {
  Reading oven = read<OvenDefinition>();
  // States that rows connect are of one region.
  std::map<std::string, std::string> root;
  for (const std::string& each : oven.order) root[each] = each;
  const auto find = [&root](std::string state) {
    while (root[state] != state) state = root[state];
    return state;
  };
  for (const ChartTransition& row : oven.own) root[find(row.to)] = find(row.from);

  std::vector<ChartRegion> regions;
  std::map<std::string, std::size_t> number;
  for (const std::string& each : oven.order) {
    const auto [at, fresh] = number.emplace(find(each), regions.size());
    if (fresh) regions.emplace_back();
    regions[at->second].states.push_back({each, oven.initial.contains(each), oven.inside[each]});
  }
  for (ChartRegion& region : regions) region.name = region_name(region.states);
  for (ChartTransition& row : oven.own) {
    regions[number[find(row.from)]].transitions.push_back(std::move(row));
  }
  // Machines inside are of the sequence alone, which has the first region.
  for (ChartTransition& row : oven.inner) regions.front().transitions.push_back(std::move(row));
  return regions;
}

}  // namespace ovenproof::evidence
