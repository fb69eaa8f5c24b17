#pragma once

#include <string>

namespace swingroom {

/// A boat file to fill in, made from the table of its keys: what must be given stands open, all else behind a
/// # with what counts if it stays there. Lines of at most 80 characters. As it is it is refused by
/// read_boat(), which names what is open.
std::string boat_template();

} // namespace swingroom
