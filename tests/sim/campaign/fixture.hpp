#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "sim/campaign/campaign.hpp"

namespace ovenproof::test {

/// The bronze strip oven with a short programme, so that a cycle takes minutes.
machine::Machine quick_machine(float target_degC = 120.0F);

/// Its campaign; made once.
const campaign::Campaign& quick_campaign();

/// The number of that mode's injection at the first instant whose id begins so.
std::uint64_t injection_of(const campaign::Campaign& campaign, std::string_view mode,
                           std::string_view instant = "");

/// Every n-th of the injections, from `from` on.
std::vector<std::uint64_t> sample(const campaign::Campaign& campaign, std::size_t every,
                                  std::size_t from = 0);

/// Results by number, those of `numbers` only.
std::vector<campaign::Result> results_of(const campaign::Campaign& campaign,
                                         const std::vector<std::uint64_t>& numbers, unsigned jobs);

}  // namespace ovenproof::test
