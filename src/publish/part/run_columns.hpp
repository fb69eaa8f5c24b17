#pragma once

#include "swingroom/overlay/block_answers.hpp"

#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

/// The runs of a block as bytes that compress well and fast: member by member, each as what has changed since
/// the run before, the lowest bytes of all runs first.
std::vector<std::uint8_t> to_columns(const BlockRuns& runs);

/// What to_columns() was given.
/// @param core  of the block   @param name  of the file, for messages
/// @throws IoError  these are no runs of such a block
BlockRuns from_columns(std::span<const std::uint8_t> bytes, Window core, const std::string& name);

} // namespace swingroom
