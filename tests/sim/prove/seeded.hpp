#pragma once

/// Which defect the copy of the logic under test has; 0: none.
namespace ovenproof::logic {
extern int seeded;
}
