#pragma once
#include <functional>

#include <nlohmann/json_fwd.hpp>

namespace ovenproof::defects {

/// Calls `work` in a process forked for it, with at most so many seconds of processor time, and
/// gives what it returned and "defect". If it does not return, or throws: "end": crashed, overdue
/// or lost, and "why".
nlohmann::json in_a_process_of_its_own(int defect, unsigned limit_s,
                                       const std::function<nlohmann::json()>& work);

}  // namespace ovenproof::defects
