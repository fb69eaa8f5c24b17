#include "swingroom/base/input_errors.hpp"

#include <gtest/gtest.h>

#include <string>

namespace swingroom {
namespace {

const Fault draught = {"[hull] draught", InputError("a.ini: [hull] draught", "is missing", "add it")},
            chart = {Setting::chart, InputError(Setting::chart, "is missing", "give " + Setting::hazards)};

TEST(InputErrors, AreOneErrorWhereThereIsOne) {
    throw_if_any("a.ini", {});
    try {
        throw_if_any("a.ini", {draught});
        ADD_FAILURE() << "nothing thrown";
    } catch (const InputErrors&) {
        ADD_FAILURE() << "several";
    } catch (const InputError& error) {
        EXPECT_STREQ(error.what(), "a.ini: [hull] draught: is missing; add it");
    }
}

TEST(InputErrors, AreToldAtOnceInOneLineOrInLines) {
    try {
        throw_if_any("a.ini", {draught, chart});
        ADD_FAILURE() << "nothing thrown";
    } catch (const InputErrors& errors) {
        EXPECT_EQ(errors.heading().text(), "a.ini: 2 things are to be mended");
        ASSERT_EQ(errors.lines().size(), 2U);
        EXPECT_EQ(errors.lines()[0].text(), "[hull] draught: is missing; add it");
        EXPECT_EQ(errors.lines()[1].text([](Setting) { return std::string("--it"); }),
                  "--it: is missing; give --it")
            << "settings are named by who tells them";
        EXPECT_EQ(std::string(errors.what()).find('\n'), std::string::npos);
        EXPECT_NE(std::string(errors.what()).find("[hull] draught: is missing; add it | "),
                  std::string::npos);
    }
}

} // namespace
} // namespace swingroom
