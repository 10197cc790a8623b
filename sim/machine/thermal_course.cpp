#include "sim/machine/thermal_course.hpp"

#include <algorithm>

#include "firmware/control/gas_contraction.hpp"
#include "firmware/control/heater_drive.hpp"
#include "firmware/control/pid.hpp"
#include "firmware/control/programme.hpp"
#include "sim/machine/estimate.hpp"
#include "sim/plant/plant.hpp"

namespace ovenproof::machine {

namespace {

constexpr Milliseconds conversion{static_cast<std::uint32_t>(plant::conversion_s * 1000.0)};
constexpr double run_up_s = 60.0;  ///< fan, valves and contactors arrive; no heat yet

/// What heats goes on heating; nobody is there to press reset.
plant::Parameters unguarded(plant::Parameters p) {
  p.limiter.set_point_degC = 1e6;
  p.outputs.supply_latched = false;
  return p;
}

plant::Surroundings surroundings_of(const Machine& m) {
  return {.ambient_degC = ambient_degC, .supply_kPa = m.plant.supply.pressure_kPa};
}

/// As few scans as the oven allows.
double scan_s(const Machine& m) {
  constexpr double longest_s = 0.010;
  const double rate =
      plant::fastest_rate_ever_per_s(m.plant, plant::constants(m.plant, {}, surroundings_of(m)));
  return plant::can_be_stepped(rate, longest_s) ? longest_s : m.settings.scan.period.value / 1000.0;
}

/// The oven and what of the firmware heats it.
class Bench {
 public:
  explicit Bench(const Machine& m)
      : m_(m),
        surroundings_(surroundings_of(m)),
        oven_(unguarded(m.plant), surroundings_, {.oxygen = 0.0}, {.scan_s = scan_s(m)}),
        scans_(static_cast<int>(plant::conversion_s / oven_.timing().scan_s + 0.5)) {
    actuation_.fan = actuation_.process_valve = actuation_.k1 = actuation_.k2 = true;
  }

  /// One conversion: the controller is given the last reading, then the oven goes on.
  void step() {
    const settings::Settings& s = m_.settings;
    contraction_.update(reading(), true, s.purge.chamber_volume_L, s.cooling, conversion);
    for (int i = 0; i < scans_; ++i) oven_.step(actuation_, {}, surroundings_);
  }

  void heat(control::ProgrammeCommands commands) {
    const settings::Settings& s = m_.settings;
    programme_.update(commands, reading(), true, s.programme, conversion);
    const Fraction demand =
        pid_.update(programme_.setpoint(), reading(), programme_.active(), s.control, conversion);
    drive_.update(demand, true, s.control, conversion);
    pid_.track(drive_.applied(), s.control, conversion);
    actuation_.heater_drive = drive_.permille() / 1000.0;
    step();
  }

  void begin_cooling() {
    actuation_.k1 = actuation_.k2 = false;
    actuation_.heater_drive = 0.0;
    actuation_.damper_open = actuation_.blower = m_.settings.options.jacket_cooling;
  }

  [[nodiscard]] Celsius reading() const {
    const plant::SensorState& sensors = oven_.state().sensors;
    const double K = m_.settings.options.thermocouples == 2
                         ? std::max(sensors.te_a_K, sensors.te_b_K)
                         : sensors.te_a_K;
    return Celsius{static_cast<float>(plant::to_degC(K))};
  }
  [[nodiscard]] double limiter_degC() const {
    return plant::to_degC(oven_.state().sensors.limiter_K);
  }
  [[nodiscard]] const control::Programme& programme() const { return programme_; }
  [[nodiscard]] const control::GasContraction& contraction() const { return contraction_; }

 private:
  const Machine& m_;
  plant::Surroundings surroundings_;
  plant::Plant oven_;
  int scans_;
  plant::Actuation actuation_;
  control::Programme programme_;
  control::Pid pid_;
  control::HeaterDrive drive_;
  control::GasContraction contraction_;
};

void note_peaks(const Bench& bench, ThermalCourse& course) {
  const std::size_t segment = bench.programme().segment();
  if (const double degC = bench.reading().value; degC > course.reading_degC) {
    course.reading_degC = degC;
    course.reading_segment = segment;
  }
  if (const double degC = bench.limiter_degC(); degC > course.limiter_degC) {
    course.limiter_degC = degC;
    course.limiter_segment = segment;
  }
}

bool heat(const Machine& m, Bench& bench, ThermalCourse& course) {
  const double timeout_s = m.settings.programme.heating_timeout.value / 1000.0;
  control::ProgrammeCommands commands{.ramp = true};
  for (double s = 0.0; s < timeout_s; s += plant::conversion_s) {
    bench.heat(commands);
    note_peaks(bench, course);
    const control::ProgrammeFacts facts = bench.programme().facts(m.settings.programme);
    const bool ended = commands.soak && facts.soak_complete;
    if (ended && facts.last_segment) return true;
    const bool soak = commands.ramp ? facts.ramp_complete : !ended;
    commands = {.ramp = !soak, .soak = soak, .advance = ended};
  }
  return false;
}

void cool(const Machine& m, Bench& bench, ThermalCourse& course) {
  bench.begin_cooling();
  for (double s = 0.0; s < longest_cooling_s && !course.settled_s; s += plant::conversion_s) {
    bench.step();
    note_peaks(bench, course);  // what the elements hold still goes into the gas
    const bool cool = bench.reading() <= m.settings.cooling.unload_temperature;
    if (cool && !course.cool_s) {
      course.cool_s = s;
      course.shrink_L_per_min = bench.contraction().shrink().value;
    }
    if (cool && bench.contraction().settled(m.settings.purge.process_flow, m.settings.cooling)) {
      course.settled_s = s;
    }
  }
  course.last_degC = bench.reading().value;
}

}  // namespace

ThermalCourse thermal_course(const Machine& m) {
  ThermalCourse course;
  Bench bench(m);
  for (double s = 0.0; s < run_up_s; s += plant::conversion_s) bench.step();
  course.heated = heat(m, bench, course);
  if (course.heated) cool(m, bench, course);
  return course;
}

}  // namespace ovenproof::machine
