#include <limits>
#include <type_traits>

#include <fmt/format.h>

#include "sim/machine/key_rows.hpp"
#include "sim/safety/measures.hpp"

/// The table of keys: safety functions and the reliability of their parts, for the estimate that a
/// campaign makes. Nothing of it has a default, and nothing but names and sources is required: what
/// is missing is told where it is needed.
namespace ovenproof::machine::rows {

namespace {

using safety::Component;
using safety::Function;

constexpr std::string_view components = "safety.components";
constexpr std::string_view functions = "safety.functions";
constexpr double unstated = std::numeric_limits<double>::quiet_NaN();

std::vector<Component>& items(Machine& m, const Component*) { return m.safety.components; }
std::vector<Function>& items(Machine& m, const Function*) { return m.safety.functions; }

/// The item of the list that holds items of this type.
template <class Item>
Item& item_of(Machine& m, std::size_t item) {
  return items(m, static_cast<Item*>(nullptr)).at(item);
}
template <class Item>
const Item& item_of(const Machine& m, std::size_t item) {
  return item_of<Item>(const_cast<Machine&>(m), item);
}

template <class Item>
std::string path_of(std::string_view name) {
  return fmt::format("{}[].{}", std::is_same_v<Item, Component> ? components : functions, name);
}

template <class Item>
Key text_of(std::string_view name, int most_characters, std::string Item::*member,
            std::string_view what) {
  Key key;
  key.path = path_of<Item>(name);
  key.kind = KeyKind::text;
  key.minimum = 1;
  key.maximum = most_characters;
  key.required = true;
  key.what = what;
  key.get_texts = [member](const Machine& m, std::size_t item) {
    const std::string& text = item_of<Item>(m, item).*member;
    return text.empty() ? std::vector<std::string>{} : std::vector<std::string>{text};
  };
  key.put_texts = [member](Machine& m, std::size_t item, std::vector<std::string> texts) {
    item_of<Item>(m, item).*member = std::move(texts.front());
  };
  return key;
}

template <class Item>
Key names_of(std::string_view name, int most, std::vector<std::string> Item::*member,
             std::string_view what, std::string_view source) {
  Key key;
  key.path = path_of<Item>(name);
  key.kind = KeyKind::names;
  key.minimum = 1;
  key.maximum = most;
  key.what = what;
  key.source = source;
  key.get_texts = [member](const Machine& m, std::size_t item) {
    return item_of<Item>(m, item).*member;
  };
  key.put_texts = [member](Machine& m, std::size_t item, std::vector<std::string> texts) {
    item_of<Item>(m, item).*member = std::move(texts);
  };
  return key;
}

template <class Item>
Key number_of(std::string_view name, std::string_view unit, Dimension dimension, double minimum,
              double maximum, std::optional<double> Item::*member, std::string_view what,
              std::string_view source) {
  Key key = quantity_key(path_of<Item>(name), unit, dimension, minimum, maximum, what, source,
                         Part::every_oven);
  key.put = [member](Machine& m, std::size_t item, double value) {
    item_of<Item>(m, item).*member = value;
  };
  key.get = [member](const Machine& m, std::size_t item) {
    return (item_of<Item>(m, item).*member).value_or(unstated);
  };
  return key;
}

template <class Item, class Word>
Key word_of(std::string_view name, std::vector<std::string_view> words,
            std::optional<Word> Item::*member, std::string_view what, std::string_view source) {
  Key key;
  key.path = path_of<Item>(name);
  key.kind = KeyKind::choice;
  key.choices = std::move(words);
  key.maximum = static_cast<double>(key.choices.size() - 1);
  key.what = what;
  key.source = source;
  key.put = [member](Machine& m, std::size_t item, double value) {
    item_of<Item>(m, item).*member = static_cast<Word>(value);
  };
  key.get = [member](const Machine& m, std::size_t item) {
    const std::optional<Word>& word = item_of<Item>(m, item).*member;
    return word ? static_cast<double>(*word) : unstated;
  };
  return key;
}

template <class Rows>
std::vector<std::string_view> names(const Rows& rows) {
  std::vector<std::string_view> out;
  for (const auto& row : rows) out.push_back(row.name);
  return out;
}

constexpr std::string_view data_sheet = "the maker's data sheet, else ISO 13849-1:2015 annex C";
constexpr std::string_view assessment = "the machine's risk assessment";

}  // namespace

const List component_list{
    components,
    "Parts of the safety functions",
    "a component: name, source, then its mttfd, its t10d, or its b10d with operations",
    "components",
    false,
    64,
    [](const Machine& m) { return m.safety.components.size(); },
    [](Machine& m, std::size_t size) { m.safety.components.assign(size, {}); },
    [](Machine& m, std::size_t item, Place at) {
      m.safety.components.at(item).line = at.line;
      m.safety.components.at(item).column = at.column;
    }};

const List function_list{functions,
                         "Safety functions",
                         "a safety function: name, category, channel_1",
                         "safety functions",
                         false,
                         32,
                         [](const Machine& m) { return m.safety.functions.size(); },
                         [](Machine& m, std::size_t size) { m.safety.functions.assign(size, {}); },
                         [](Machine& m, std::size_t item, Place at) {
                           m.safety.functions.at(item).line = at.line;
                           m.safety.functions.at(item).column = at.column;
                         }};

std::vector<Key> safety_keys() {
  using enum Dimension;
  return {
      text_of("name", 40, &Component::name, "by which functions call it"),
      text_of("source", 200, &Component::source, "where its figures come from"),
      number_of("mttfd", "a", lifetime, 0.1, 1e6, &Component::mttfd_years,
                "mean time to dangerous failure", data_sheet),
      number_of("t10d", "a", lifetime, 0.01, 1e5, &Component::t10d_years,
                "time until 10 % have failed dangerously", data_sheet),
      number_of("b10d", "", number, 10, 1e10, &Component::b10d_cycles,
                "operations until 10 % have failed dangerously", data_sheet),
      number_of("operations", "1/a", operating_rate, 0.1, 1e8, &Component::operations_per_year,
                "operations as built: the cycles of the oven, and what else moves the part",
                "the use of the machine"),
      names_of("modes", 32, &Component::modes,
               "its dangerous failure modes, as `ovenproof campaign` calls them; with its share "
               "of the dangerous failures behind it (\"Q1.welded 80 %\"), or all alike",
               "failure analysis of the part"),
      number_of("coverage", "%", ratio, 0, 99.9, &Component::claimed_coverage,
                "diagnostic coverage, claimed where no failure mode can be simulated",
                "ISO 13849-1:2015 annex E"),
      word_of("coverage_by", names(safety::coverage_measures), &Component::claimed_by,
              "the measure by which coverage is claimed", "ISO 13849-1:2015 table E.1"),

      text_of("name", 120, &Function::name, "what it does"),
      word_of("category",
              std::vector<std::string_view>(safety::category_names.begin(),
                                            safety::category_names.end()),
              &Function::category, "designated architecture that is claimed",
              "ISO 13849-1:2015, 6.2"),
      word_of("required_level",
              std::vector<std::string_view>(safety::level_names.begin(), safety::level_names.end()),
              &Function::required, "performance level that is required", assessment),
      names_of("channel_1", 16, &Function::channel_1,
               "components in series: one failure of any of them fails the channel",
               "circuit diagram"),
      names_of("channel_2", 16, &Function::channel_2, "the same of the redundant channel",
               "circuit diagram"),
      names_of("test_equipment", 16, &Function::test_equipment,
               "of category 2: components that test the channel", "circuit diagram"),
      number_of("tests_per_demand", "", number, 0.01, 1e9, &Function::tests_per_demand,
                "of category 2: how often it is tested for each time it is needed",
                "the use of the machine"),
      [] {
        Key key = names_of("common_cause", static_cast<int>(safety::common_cause_measures.size()),
                           &Function::common_cause, "measures taken against common cause failures",
                           "ISO 13849-1:2015 table F.1");
        key.choices = names(safety::common_cause_measures);
        return key;
      }(),
      number_of("process_safety_time", "s", time, 0.001, 86400, &Function::process_safety_time_s,
                "from the failure or demand until harm may come, if nothing acts", assessment),
      number_of("proof_test", "a", lifetime, 0.001, 100, &Function::proof_test_years,
                "interval of proof tests, for the probability of failure on demand",
                "maintenance plan"),
      names_of("hazards", 16, &Function::hazards,
               "hazards that it protects from (docs/hazards.md); without them, every hazard",
               assessment),
      names_of("causes", 48, &Function::causes,
               "causes by which it acts (docs/requirements.md); without them, every cause",
               "cause-and-effect matrix"),
  };
}

}  // namespace ovenproof::machine::rows
