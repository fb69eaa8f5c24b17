#pragma once

#include "publish/folder/guarded_files.hpp"

namespace swingroom::guarded {

/// To be asked before each call that plan_fault() counts.
/// @returns the errno with which the call shall fail, or 0
[[nodiscard]] int planned_error(Calls kind = Calls::changes);

} // namespace swingroom::guarded
