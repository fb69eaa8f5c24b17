#pragma once

#include <cstddef>
#include <filesystem>

namespace swingroom {

/// Where a run keeps what it will need again and what may be more than the memory takes.
struct Spooling {
    /// Of a file without a name, made only when it is needed, which is gone with the program however that
    /// ends; empty: where temporary files go.
    std::filesystem::path folder;
    /// So much stays in memory.
    std::size_t in_memory_bytes = std::size_t{32} << 20;
};

} // namespace swingroom
