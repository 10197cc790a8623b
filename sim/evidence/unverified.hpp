#pragma once

namespace ovenproof::evidence {

/// Places whose value was not checked against its source: the rows of docs/unverified.md.
/// Written by tests/build/unverified.py, as that list is.
inline constexpr int unverified_places = 73;

}  // namespace ovenproof::evidence
