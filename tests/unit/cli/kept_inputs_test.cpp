// What is kept of inputs from one run to the next.

#include "swingroom/base/error.hpp"

#include "cli/run/kept_inputs.hpp"
#include "support/scratch.hpp"

#include <gtest/gtest.h>

#include <chrono>
#include <fstream>
#include <string>
#include <thread>

namespace swingroom::cli {
namespace {

using testing_support::Scratch;

TEST(InputDigests, AreThoseOfTheFileAsItIsNow) {
    const Scratch folder;
    InputDigests digests;
    EXPECT_THROW(digests.of(folder / "none"), IoError);
    std::ofstream(folder / "file") << "abc";
    // FIPS 180-2, appendix B.1.
    constexpr const char* of_abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    EXPECT_EQ(digests.of(folder / "file").sha256, of_abc);
    std::ofstream(folder / "file") << "abd";
    EXPECT_NE(digests.of(folder / "file").sha256, of_abc) << "at once";
    // What stands still for two seconds is kept, and seen to change all the same.
    std::ofstream(folder / "file") << "abc";
    std::this_thread::sleep_for(std::chrono::milliseconds(2200));
    const InputFile first = digests.of(folder / "file");
    EXPECT_EQ(first.sha256, of_abc);
    EXPECT_EQ(first.bytes, 3U);
    EXPECT_EQ(first.changed_ns, last_change_ns(folder / "file"));
    std::ofstream(folder / "file") << "abd";
    EXPECT_NE(digests.of(folder / "file").sha256, of_abc);
}

} // namespace
} // namespace swingroom::cli
