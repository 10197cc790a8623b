#pragma once
#include <cstddef>
#include <vector>

#include "sim/sizing/size.hpp"

namespace ovenproof::sizing {

/// At most `most` of the points, first and last among them: those between which straight lines come
/// nearest to all the others, on a logarithmic axis if `log_axis`. Points in order of time; on a
/// logarithmic axis what is not above 0 counts as 1e-3.
std::vector<Point> thinned(const std::vector<Point>& points, std::size_t most, bool log_axis);

}  // namespace ovenproof::sizing
