#pragma once

#include <proj.h>

namespace swingroom {

/// From here on PROJ opens in this context only what lies in its own folders (its database's, PROJ_DATA, the
/// user's folder of grids): a CRS may name any file as a grid of shifts, and the CRS comes from an input.
void keep_to_own_folders(PJ_CONTEXT* context);

} // namespace swingroom
