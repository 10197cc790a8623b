#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "sim/machine/machine.hpp"

/// Which devices of this machine a cause of the cause-and-effect matrix is about. The firmware's
/// own rows bear standard tags; a machine file may give others.
namespace ovenproof::machine {

/// Keys of the points of the I/O list that a cause is about, "door_opened_in_cycle" and so on;
/// empty for a cause that no device brings, such as a return of power. Throws std::out_of_range for
/// what is no cause.
[[nodiscard]] const std::vector<std::string_view>& points_of_cause(std::string_view cause);

/// The tags of those that the machine has, as its file says, a blank between.
[[nodiscard]] std::string tags_of_cause(std::string_view cause, const Machine& machine);

/// "TRIP door opened during the cycle (ZS-1 ZS-2)"; the text alone where no cause or no device is
/// named.
[[nodiscard]] std::string with_tags(std::string_view text, std::string_view cause,
                                    const Machine& machine);

}  // namespace ovenproof::machine
