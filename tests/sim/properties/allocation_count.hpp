#pragma once

namespace ovenproof::properties::test {

/// How often this process has asked for memory. Counted by replacing the global operator new.
long allocations();

}  // namespace ovenproof::properties::test
