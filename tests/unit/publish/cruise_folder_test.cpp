// The folder of a cruise: ours or not touched, and whole whatever the disk does.

#include "swingroom/base/error.hpp"

#include "publish/folder/cruise_folder.hpp"
#include "publish/folder/guarded_files.hpp"
#include "support/scratch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cerrno>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <string>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

using testing::ElementsAre;
using testing::IsEmpty;
using testing_support::Scratch;

std::string text_of(const fs::path& file) {
    std::ifstream in(file);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

TEST(CruiseFolder, KeepsTextsOfRunsAndKnowsWhoseFoldersAreThere) {
    const Scratch scratch;
    {
        const CruiseFolder folder(scratch / "out", {});
        EXPECT_FALSE(folder.kept("cove"));
        folder.keep("cove", "one");
        folder.keep("cove", "two");
        folder.keep("bay", "three");
        folder.replace("cruise.html", "page");
        fs::create_directory(folder.path() / "cove");
        fs::create_directory(folder.path() / "photos");
    }
    const CruiseFolder again(scratch / "out", {});
    EXPECT_EQ(again.kept("cove"), "two");
    EXPECT_EQ(text_of(scratch / "out/cruise.html"), "page");
    EXPECT_THAT(again.others({"bay"}), ElementsAre("cove"))
        << "of bay there is no folder, and photos are not ours";
    EXPECT_THAT(again.others({"bay", "cove"}), IsEmpty());
    fs::remove(scratch / "out/.cruise/bay.json");
    fs::create_symlink(scratch / "out/cruise.html", scratch / "out/.cruise/bay.json");
    EXPECT_FALSE(again.kept("bay")) << "a link is none of ours";
    EXPECT_THROW(again.keep("bay", "x"), InputError);
    EXPECT_EQ(text_of(scratch / "out/cruise.html"), "page");
}

TEST(CruiseFolder, RefusesWhatIsAnInputOrHoldsOne) {
    const Scratch scratch;
    { const CruiseFolder folder(scratch / "out", {}); }
    std::ofstream(scratch / "out/sea.tif") << "x";
    EXPECT_THROW(CruiseFolder(scratch / "out", {scratch / "out/sea.tif"}), InputError);
    EXPECT_THROW(CruiseFolder(scratch / "out/in", {scratch / "out"}), InputError);
    EXPECT_THROW(CruiseFolder(scratch / "none/out", {}), InputError);
}

/// Every call that changes the disk fails once.
TEST(CruiseFolder, IsWholeWhateverFails) {
    int failed = 0;
    for (std::int64_t at = 1; at < 200; ++at) {
        SCOPED_TRACE(at);
        const Scratch scratch;
        const fs::path target = scratch / "out";
        guarded::plan_fault({at, ENOSPC});
        bool done = false;
        try {
            const CruiseFolder folder(target, {});
            folder.keep("cove", "one");
            folder.replace("cruise.html", "page");
            done = true;
        } catch (const std::runtime_error&) {
            ++failed;
        }
        const bool reached = guarded::calls_since_fault_planned() >= at;
        guarded::plan_fault({});
        if (!reached) {
            EXPECT_TRUE(done);
            EXPECT_GE(failed, 10) << "too few were tried";
            return;
        }
        if (fs::exists(target)) {
            const CruiseFolder again(target, {});
            const auto kept = again.kept("cove");
            EXPECT_TRUE(!kept || *kept == "one");
            const std::string page = text_of(target / "cruise.html");
            EXPECT_TRUE(page.empty() || page == "page");
        }
        for (const fs::directory_entry& entry : fs::directory_iterator(scratch.path())) {
            EXPECT_EQ(entry.path().filename(), "out") << "is left behind";
        }
    }
    FAIL() << "there is no end of calls";
}

} // namespace
} // namespace swingroom
