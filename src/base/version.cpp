#include "swingroom/base/version.hpp"

namespace swingroom {

std::string_view version() { return SWINGROOM_VERSION; }

std::string_view released() { return SWINGROOM_RELEASED; }

} // namespace swingroom
