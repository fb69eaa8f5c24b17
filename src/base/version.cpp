#include "swingroom/base/version.hpp"

namespace swingroom {

std::string_view version() { return SWINGROOM_VERSION; }

} // namespace swingroom
