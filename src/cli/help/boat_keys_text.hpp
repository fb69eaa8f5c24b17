#pragma once

#include "boat/boat_keys.hpp"

#include <string>

namespace swingroom::cli {

/// What counts where a key is not given, as tables have it: "0.5 m", "no limit"; empty where nothing does.
std::string if_not_given(const BoatKey& key);

/// All keys of a boat file by their sections, for a screen of 80 columns: a * marks what must be given.
std::string boat_keys_help();

/// The table of keys in Markdown, for the manual: section, key, meaning, unit, default; what must be given in
/// bold.
std::string boat_keys_markdown();

} // namespace swingroom::cli
