#pragma once

#include <string>
#include <string_view>

namespace swingroom {

/// Text for XML files that viewers may take for HTML: < and > become the quotation marks ‹ and ›, runs of
/// blanks and control characters single blanks, and U+FFFD whatever else XML 1.0 cannot hold or would turn
/// the direction of what is read after it, as in clean_text.
std::string plain_text(std::string_view text);

} // namespace swingroom
