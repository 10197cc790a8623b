#include "sim/replay/signal.hpp"

#include <stdexcept>
#include <vector>

#include <fmt/format.h>

#include "sim/machine/suggest.hpp"

namespace ovenproof::replay {
namespace {

std::optional<std::size_t> probe_index(std::string_view name) {
  const auto& all = rig::probes();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].name == name) return i;
  }
  return std::nullopt;
}

std::string probe_name(const machine::Point& point) {
  const bool in =
      point.signal == machine::Signal::contact_in || point.signal == machine::Signal::analog_in;
  return fmt::format("{}.{}", in ? "input" : "board", point.key);
}

Role role_of(machine::Signal signal) {
  switch (signal) {
    case machine::Signal::contact_in:
      return Role::contact_in;
    case machine::Signal::analog_in:
      return Role::analog_in;
    case machine::Signal::coil_out:
      return Role::coil_out;
    case machine::Signal::analog_out:
      return Role::heater;
  }
  return Role::other;
}

std::vector<Signal> make_signals() {
  std::vector<Signal> all(rig::probes().size());
  for (std::size_t i = 0; i < all.size(); ++i) all[i].probe = i;
  for (const machine::Point& point : machine::all_points()) {
    const std::string name = probe_name(point);
    const auto probe = probe_index(name);
    if (!probe) throw std::logic_error(fmt::format("no probe {}", name));
    all[*probe] = {*probe, role_of(point.signal), point.index, point.part};
  }
  all[*probe_index("powered")].role = Role::power;
  return all;
}

const std::vector<Signal>& signals() {
  static const std::vector<Signal> all = make_signals();
  return all;
}

std::size_t probe_with(Role role, std::size_t index) {
  for (const Signal& signal : signals()) {
    if (signal.role == role && signal.index == index) return signal.probe;
  }
  throw std::logic_error("no such point");
}

}  // namespace

Signal signal_of(std::size_t probe) { return signals()[probe]; }

std::optional<Signal> find_signal(std::string_view name, const machine::Tags& tags) {
  if (const auto probe = probe_index(name)) return signals()[*probe];
  for (std::size_t i = 0; i < tags.size(); ++i) {
    if (tags[i] != name) continue;
    if (const auto probe = probe_index(probe_name(machine::all_points()[i])))
      return signals()[*probe];
  }
  return std::nullopt;
}

std::string_view name_of(const Signal& signal) { return rig::probes()[signal.probe].name; }

std::string nearest_signal(std::string_view wrong) {
  std::vector<std::string> names;
  for (const rig::Probe& probe : rig::probes()) names.emplace_back(probe.name);
  return machine::nearest(wrong, names);
}

std::size_t probe_of(hal::DigitalIn point) {
  return probe_with(Role::contact_in, static_cast<std::size_t>(point));
}
std::size_t probe_of(hal::AnalogIn point) {
  return probe_with(Role::analog_in, static_cast<std::size_t>(point));
}

}  // namespace ovenproof::replay
