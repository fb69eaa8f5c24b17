#pragma once

#include "swingroom/base/message.hpp"

#include "sea/raster/bathymetry_reader.hpp"

#include <optional>

namespace swingroom::bathymetry {

/// What speaks against a sign that the user has given, by hills in the middle of the sea.
///
/// Nothing that dries stands more than 20 m above chart datum: the greatest range of tide known is about
/// 17 m (Bay of Fundy). Files of depths end at the shore, so that read as depths hardly a cell may be a hill.
/// Files of heights may well go up the hills behind it: read as heights they are doubted only where, besides,
/// no water is deeper than 5 m, as where the drying banks of a file of depths are read as its water.
/// @param down  whether its values are read as depths
/// @returns none: nothing does   @throws IoError  when reading fails
std::optional<Message> doubt_of_sign(const DepthBand& band, bool down);

} // namespace swingroom::bathymetry
