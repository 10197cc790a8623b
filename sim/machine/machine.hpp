#pragma once
#include <string>

#include "firmware/settings/settings.hpp"
#include "sim/machine/campaign_remarks.hpp"
#include "sim/machine/io_list.hpp"
#include "sim/machine/sign_off.hpp"
#include "sim/plant/parameters.hpp"
#include "sim/safety/declared.hpp"

namespace ovenproof::machine {

/// One oven as its machine file describes it: plain data, copied freely.
struct Machine {
  std::string name;
  std::string description;
  std::string load;  ///< what the oven treats, in words
  std::string path;  ///< of the file, as the user named it
  plant::Parameters plant;
  settings::Settings settings;
  Tags tags = standard_tags();
  safety::Declared safety;   ///< empty if the file says nothing
  CampaignRemarks campaign;  ///< the same
  SignOff sign_off;          ///< for both
};

}  // namespace ovenproof::machine
