#pragma once
#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

/// Every key that a scenario file may hold: the reader, the JSON Schema and the documents go by
/// these tables.
namespace ovenproof::scenario {

/// The JSON type that a key's value takes.
enum class Shape : std::uint8_t {
  text,
  text_or_list,
  map,
  table,
  steps,
  expectations,
  waivers,
  until
};

struct FileKey {
  std::string_view name;
  Shape shape;
  bool required;
  std::string_view what;
};

inline constexpr std::array<FileKey, 10> case_keys{{
    {"shows", Shape::text, true, "one sentence: what the scenario shows"},
    {"machine", Shape::text_or_list, true,
     "machine file, its path relative to this file; of a list, each is a case of its own"},
    {"override", Shape::map, false,
     "keys of the machine file that have other values here, written as there"},
    {"covers", Shape::text_or_list, false, "ids of requirements and hazards"},
    {"start", Shape::text, false,
     "cold (default), warm_monitor, standby, armed, or in PHASE [for TIME]; phases: purging, ramp, "
     "soak, cooling, unloading"},
    {"table", Shape::table, false,
     "columns with lists of values: each combination is a case; {column} stands for the value"},
    {"steps", Shape::steps, false, "what happens, in order"},
    {"expect", Shape::expectations, false, "what must hold"},
    {"waive", Shape::waivers, false, "default hazards brought about on purpose"},
    {"until", Shape::until, false,
     "time after the last step (default 10 s), or a condition with `timeout`"},
}};

inline constexpr std::array<FileKey, 5> trigger_keys{{
    {"at", Shape::text, false, "time after the case began"},
    {"after", Shape::text, false,
     "time after the step before; beside `when` and `on`, after these came"},
    {"when", Shape::text, false, "a condition of the property language"},
    {"on", Shape::text, false, "a phase"},
    {"timeout", Shape::text, false, "by when `when` or `on` must have come (default 1 h)"},
}};

inline constexpr std::array<FileKey, 18> action_keys{{
    {"press", Shape::text, false,
     "start, stop, reset or limiter_reset [for TIME]; 300 ms unless said"},
    {"hold", Shape::text, false, "start, stop, reset or limiter_reset, until released"},
    {"release", Shape::text, false, "start, stop, reset or limiter_reset"},
    {"estop", Shape::text, false, "pressed [for TIME], or released"},
    {"door", Shape::text, false, "open [for TIME], or closed [for TIME]"},
    {"reach", Shape::text, false,
     "in [for TIME], or out: somebody works in the opening of the door"},
    {"load", Shape::text, false, "exchange: takes the load out and puts a fresh one in"},
    {"fault", Shape::text_or_list, false,
     "POINT KIND [VALUE] [for TIME], or COMPONENT [SEVERITY] [over TIME] [for TIME]"},
    {"clear", Shape::text_or_list, false, "a point, a component, or all"},
    {"power", Shape::text, false, "off [for TIME], or on"},
    {"stall", Shape::text, false, "for how long the controller does not scan"},
    {"store", Shape::text, false, "flip BYTE [mask BITS], failing, or working"},
    {"clock", Shape::text, false, "jump TIME, stop [for TIME], or drift PPM [for TIME]"},
    {"converter", Shape::text, false, "stop [for TIME]"},
    {"supply", Shape::text, false, "gas supply pressure [for TIME], or normal"},
    {"ambient", Shape::text, false, "room temperature"},
    {"ventilation", Shape::text, false, "share of the room's ventilation that runs"},
    {"note", Shape::text, false, "words for the list of events"},
}};

inline constexpr std::array<FileKey, 9> expectation_keys{{
    {"property", Shape::text, false, "a property of the property language"},
    {"trip", Shape::text, false, "CAUSE [within TIME [after CONDITION]]"},
    {"no_trip", Shape::text, false, "true: nothing trips"},
    {"off", Shape::text, false, "OUTPUTS within TIME after CONDITION"},
    {"stays_off", Shape::text, false, "OUTPUTS within TIME after CONDITION, and from then on"},
    {"reaches", Shape::text, false, "PHASE [within TIME [after CONDITION]]"},
    {"name", Shape::text, false, "what the report calls it"},
    {"may_be_vacuous", Shape::text, false,
     "why it need not speak of anything that happened; else that counts as a failure"},
    {"covers", Shape::text_or_list, false, "ids of requirements and hazards"},
}};
inline constexpr std::size_t statement_kinds = 6;  ///< the first of `expectation_keys`

inline constexpr std::array<FileKey, 2> waiver_keys{{
    {"hazard", Shape::text, true, "id of a default hazard"},
    {"reason", Shape::text, true, "why it may occur; the report prints it"},
}};

inline constexpr std::array<FileKey, 2> until_keys{{
    {"when", Shape::text, true, "the condition that ends the case"},
    {"timeout", Shape::text, true, "time after the last step by which it must have come"},
}};

template <std::size_t count>
std::vector<std::string> names_of(const std::array<FileKey, count>& keys) {
  std::vector<std::string> names;
  for (const FileKey& key : keys) names.emplace_back(key.name);
  return names;
}

}  // namespace ovenproof::scenario
