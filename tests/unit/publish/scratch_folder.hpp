#pragma once

#include "support/scratch.hpp"

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace swingroom::testing {

using ScratchFolder = testing_support::Scratch;

inline void put_file(const std::filesystem::path& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
}

inline std::string bytes_of(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>{}};
}

} // namespace swingroom::testing
