#pragma once

namespace ovenproof::machine {

/// Natural logarithm of a finite x > 0, to some 1e-15 relative to the larger of 1 and the result,
/// from + - * / alone: the same bits on every machine, which libm does not promise.
double natural_log(double x);

}  // namespace ovenproof::machine
