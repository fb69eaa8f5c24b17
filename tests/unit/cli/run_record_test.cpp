// What a cruise keeps of a run.

#include "cli/cruise/run_record.hpp"

#include <gtest/gtest.h>

#include <cstddef>
#include <string>

namespace swingroom::cli {
namespace {

TEST(RunRecord, IsReadAsItWasWritten) {
    const RunRecord record{
        "wind = 15\n", "swingroom 1", "00ff", {"a b", "\xC3\xA9"}, "{\n\"told\": \"\\\"\"}\n"};
    const auto read = read_record(record_text(record));
    ASSERT_TRUE(read);
    EXPECT_EQ(read->what_counts, record.what_counts);
    EXPECT_EQ(read->made_by, record.made_by);
    EXPECT_EQ(read->manifest, record.manifest);
    EXPECT_EQ(read->files, record.files);
    EXPECT_EQ(read->told, record.told);
    const std::string text = record_text(record);
    for (std::size_t length = 0; length + 3 < text.size(); ++length) {
        EXPECT_FALSE(read_record(text.substr(0, length))) << length;
    }
    EXPECT_FALSE(read_record("[]"));
}

} // namespace
} // namespace swingroom::cli
