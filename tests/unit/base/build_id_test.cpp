// Against the program's own file, where the note stands as the linker has written it.

#include "base/build_id.hpp"

#include <gtest/gtest.h>

#include <cstddef>
#include <fstream>
#include <iterator>
#include <string>

namespace swingroom {
namespace {

TEST(BuildId, IsWhatTheFileOfTheProgramHolds) {
    std::ifstream file("/proc/self/exe", std::ios::binary);
    const std::string bytes((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
    // A name of four bytes, a digest of twenty, of kind 3 (System V ABI, note section; ld's manual,
    // --build-id).
    const std::string head("\4\0\0\0\24\0\0\0\3\0\0\0GNU\0", 16);
    const std::size_t at = bytes.find(head);
    if (at == std::string::npos) GTEST_SKIP() << "linked without a build ID, or with one of another length";
    std::string wanted;
    for (const char byte : bytes.substr(at + head.size(), 20)) {
        constexpr const char* digits = "0123456789abcdef";
        const auto value = static_cast<unsigned char>(byte);
        wanted += {digits[value / 16], digits[value % 16]};
    }
    EXPECT_EQ(build_id(), wanted);
}

} // namespace
} // namespace swingroom
