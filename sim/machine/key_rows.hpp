#pragma once
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/machine/keys.hpp"

/// How the rows of the table of keys are made. Only the files that hold the table need this.
namespace ovenproof::machine::rows {

Key text_key(std::string path, int most_characters, std::string Machine::*member,
             std::string_view what);

/// A quantity key with its range, given in `unit`, and nothing to fill.
Key quantity_key(std::string path, std::string_view unit, Dimension dimension, double minimum,
                 double maximum, std::string_view what, std::string_view source, Part part);

/// The unit of a dimension with this symbol; of a plain number the unit 1.
Unit unit_or_one(Dimension dimension, std::string_view symbol);

/// Lets a key fill a number of the plant that is held in `member_unit`.
template <auto Group, auto Member>
Key filling(Key key, Unit member_unit) {
  key.fills_plant = true;
  key.put = [member_unit](Machine& machine, std::size_t, double value) {
    machine.plant.*Group.*Member = to_unit(value, member_unit);
  };
  key.get = [member_unit](const Machine& machine, std::size_t) {
    return from_unit(machine.plant.*Group.*Member, member_unit);
  };
  return key;
}

/// A quantity of the plant. `unit` is the unit of the member, the one shown, and that of the range.
template <auto Group, auto Member>
Key plant_key(std::string path, std::string_view unit, Dimension dimension, double minimum,
              double maximum, std::string_view what, std::string_view source,
              Part part = Part::every_oven) {
  return filling<Group, Member>(
      quantity_key(std::move(path), unit, dimension, minimum, maximum, what, source, part),
      unit_or_one(dimension, unit));
}

/// The same where the member is held in the base unit of the dimension.
template <auto Group, auto Member>
Key plant_key_in_base(std::string path, std::string_view unit, Dimension dimension, double minimum,
                      double maximum, std::string_view what, std::string_view source,
                      Part part = Part::every_oven) {
  return filling<Group, Member>(
      quantity_key(std::move(path), unit, dimension, minimum, maximum, what, source, part),
      Unit{"", 1.0});
}

/// Lets a key without a default fill a std::optional of the plant that is held in `member_unit`.
template <auto Group, auto Member>
Key filling_optional(Key key, Unit member_unit) {
  key.fills_plant = true;
  key.put = [member_unit](Machine& machine, std::size_t, double value) {
    std::optional<double>& member = machine.plant.*Group.*Member;
    member.reset();
    if (!std::isnan(value)) member = to_unit(value, member_unit);
  };
  key.get = [member_unit](const Machine& machine, std::size_t) {
    const std::optional<double>& member = machine.plant.*Group.*Member;
    return member ? from_unit(*member, member_unit) : std::numeric_limits<double>::quiet_NaN();
  };
  return key;
}

/// A quantity without a default, held as a std::optional.
template <auto Group, auto Member>
Key plant_optional_key(std::string path, std::string_view unit, Dimension dimension, double minimum,
                       double maximum, std::string_view what, std::string_view source) {
  return filling_optional<Group, Member>(quantity_key(std::move(path), unit, dimension, minimum,
                                                      maximum, what, source, Part::every_oven),
                                         unit_or_one(dimension, unit));
}

/// The same where the member is held in the base unit of the dimension.
template <auto Group, auto Member>
Key plant_optional_key_in_base(std::string path, std::string_view unit, Dimension dimension,
                               double minimum, double maximum, std::string_view what,
                               std::string_view source) {
  return filling_optional<Group, Member>(quantity_key(std::move(path), unit, dimension, minimum,
                                                      maximum, what, source, Part::every_oven),
                                         Unit{"", 1.0});
}

/// A truth value of the plant.
template <auto Group, auto Member>
Key plant_flag(std::string path, std::string_view what, std::string_view source) {
  Key key;
  key.path = std::move(path);
  key.kind = KeyKind::flag;
  key.maximum = 1.0;
  key.what = what;
  key.source = source;
  key.fills_plant = true;
  key.put = [](Machine& machine, std::size_t, double value) {
    machine.plant.*Group.*Member = value != 0.0;
  };
  key.get = [](const Machine& machine, std::size_t) {
    return machine.plant.*Group.*Member ? 1.0 : 0.0;
  };
  return key;
}

/// The keys of the plant alone: gas, door, room and switches; heat.
std::vector<Key> plant_gas_keys();
std::vector<Key> plant_heat_keys();

/// The keys of what people who load and unload keep to.
std::vector<Key> people_keys();

/// The keys of the controller's settings, those that fill the plant too included.
std::vector<Key> setting_keys();

/// The keys of the tags.
std::vector<Key> tag_keys();

/// The keys of safety functions and of the reliability of their parts, and their lists.
std::vector<Key> safety_keys();
extern const List component_list;
extern const List function_list;

/// The keys of what is said of failure modes, and their lists.
std::vector<Key> campaign_keys();
extern const List accepted_list;
extern const List excluded_list;
extern const List added_list;

/// The keys of who signs for both.
std::vector<Key> sign_off_keys();

}  // namespace ovenproof::machine::rows
