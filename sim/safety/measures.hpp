#pragma once
#include <array>
#include <cstddef>
#include <string_view>

/// Measures that ISO 13849-1 lists with what they are worth.
namespace ovenproof::safety {

/// One row of ISO 13849-1:2015, table E.1: what a measure detects of the dangerous failures,
/// from memory: ISO 13849-1:2015, table E.1: check against the standard.
struct CoverageMeasure {
  std::string_view name;
  double least;  ///< 0..1
  double most;   ///< 0..1; where they differ, the application decides
  std::string_view what;
};

inline constexpr std::array<CoverageMeasure, 18> coverage_measures{{
    {"cyclic_test_stimulus", 0.90, 0.90, "input tested by cyclic change of the signal"},
    {"plausibility_linked", 0.99, 0.99, "make and break contact mechanically linked, compared"},
    {"cross_monitoring_static", 0.0, 0.99, "inputs compared, without dynamic test"},
    {"cross_monitoring_dynamic", 0.90, 0.90,
     "inputs compared with dynamic test, short circuits not detected"},
    {"cross_monitoring_full", 0.99, 0.99,
     "inputs and intermediate results compared, programme flow and short circuits watched"},
    {"indirect_monitoring", 0.90, 0.99, "actuator seen by its effect, such as pressure"},
    {"direct_monitoring", 0.99, 0.99, "valve position or mechanically linked contacts read back"},
    {"process", 0.0, 0.99, "the process shows the fault; not alone for level e"},
    {"sensor_characteristic", 0.60, 0.60, "response time or signal range, such as 4 to 20 mA"},
    {"watchdog_simple", 0.60, 0.60, "time base of the logic watched"},
    {"watchdog_logical", 0.90, 0.90, "time base and order of the logic watched"},
    {"start_up_self_test", 0.90, 0.90, "logic tested at each start"},
    {"dynamic_principle", 0.99, 0.99, "every part must change state at each demand"},
    {"invariable_memory_8_bit", 0.90, 0.90, "signature of one byte"},
    {"invariable_memory_16_bit", 0.99, 0.99, "signature of two bytes"},
    {"processor_self_test", 0.60, 0.90, "processor tested by software"},
    {"processor_coded", 0.90, 0.99, "coded processing"},
    {"output_monitoring_one_channel", 0.0, 0.99, "outputs read back, without dynamic test"},
}};

/// One row of ISO 13849-1:2015, table F.1: points against common cause failures,
/// from memory: ISO 13849-1:2015, table F.1: check against the standard.
struct CommonCauseMeasure {
  std::string_view name;
  int points;
  std::string_view what;
};

inline constexpr std::array<CommonCauseMeasure, 8> common_cause_measures{{
    {"separation", 15, "physical separation of the channels' signal paths"},
    {"diversity", 20, "different technologies, designs or physical principles"},
    {"overstress", 15, "protected against overvoltage, overpressure, overcurrent and the like"},
    {"well_tried", 5, "well-tried components"},
    {"failure_analysis", 5, "results of a failure mode and effect analysis are in the design"},
    {"competence", 5, "designers trained in causes and consequences of common failures"},
    {"contamination_and_emc", 25,
     "electromagnetic compatibility, or filtered media, by the standards"},
    {"environment", 10, "all relevant temperature, shock, vibration, humidity considered"},
}};

/// Least points for categories 2, 3 and 4 (ISO 13849-1:2015, table F.1).
inline constexpr int least_common_cause_points = 65;

}  // namespace ovenproof::safety
