#pragma once

#include "swingroom/sea/sea.hpp"

#include "sea/sea_source.hpp"

#include <memory>

namespace swingroom {

/// The sea of some files, opened and not yet looked into.   @throws InputError, IoError  as Sea
std::unique_ptr<SeaSource> sea_of_files(SeaRequest request);

} // namespace swingroom
