// Messages that name settings by type, and errors made of them.

#include "swingroom/base/error.hpp"
#include "swingroom/base/message.hpp"

#include <gtest/gtest.h>

#include <cctype>
#include <cstddef>
#include <set>
#include <string>

namespace swingroom {
namespace {

/// As a front end may call its settings.
std::string shouted(Setting setting) {
    std::string name = plain_name(setting);
    for (char& c : name) {
        c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    }
    return name;
}

std::string dashed(Setting setting) { return "--" + plain_name(setting); }

TEST(Message, IsTextWhereNothingIsNamed) {
    EXPECT_EQ(Message("say it").text(), "say it");
    EXPECT_EQ(Message(std::string("say it")).text(shouted), "say it");
    EXPECT_EQ(Message().text(), "");
}

TEST(Message, NamesSettingsInTheWordsOfWhoReads) {
    const Message message =
        "say it with " + Setting::crs + ", for example " + Setting::crs + std::string(" EPSG:4326");
    EXPECT_EQ(message.text(), "say it with CRS, for example CRS EPSG:4326");
    EXPECT_EQ((Message("leave ") + Setting::depth_unit + " out").text(shouted), "leave DEPTH UNIT out");
    EXPECT_EQ(Message(Setting::bounds).text(dashed), "--bounds");
}

TEST(Message, OnceToldKeepsItsNames) {
    const Message told = ("give " + Message(Setting::bounds)).with_names(dashed);
    EXPECT_EQ(told.text(), "give --bounds");
    EXPECT_EQ(told.text(shouted), "give --bounds");
}

TEST(Message, AnArticleGoesByTheFirstLetterOfTheName) {
    EXPECT_EQ(with_article(Setting::picture).text(), "a picture");
    EXPECT_EQ(with_article(Setting::picture).text(dashed), "a --picture");
    EXPECT_EQ(with_article(Setting::uncertainty).text(dashed), "an --uncertainty");
    EXPECT_EQ(("or give " + with_article(Setting::out) + " elsewhere").text(), "or give a folder elsewhere");
}

TEST(Message, CanBeAddedToItself) {
    Message message = "a" + Message(Setting::crs);
    message += message;
    EXPECT_EQ(message.text(), "aCRSaCRS");
}

TEST(Message, EverySettingHasANameOfItsOwn) {
    std::set<std::string> names;
    for (std::size_t i = 0; i < settings_count; ++i) {
        names.insert(plain_name(static_cast<Setting>(i)));
    }
    EXPECT_EQ(names.size(), settings_count);
    EXPECT_EQ(names.count(""), 0U);
}

TEST(Errors, SpeakPlainlyOrInTheWordsOfTheFrontEnd) {
    const InputError error(Setting::chart_datum, "is 1000 m", "leave " + Setting::chart_datum + " out");
    EXPECT_STREQ(error.what(), "chart datum: is 1000 m; leave chart datum out");
    EXPECT_EQ(error.message().text(dashed), "--chart datum: is 1000 m; leave --chart datum out");
    EXPECT_EQ(error.complaint().text(shouted), "is 1000 m; leave CHART DATUM out");
    const IoError failed("run", "no space; give " + with_article(Setting::out));
    EXPECT_STREQ(failed.what(), "run: no space; give a folder");
    EXPECT_EQ(failed.message().text(dashed), "run: no space; give a --folder");
}

TEST(Errors, AQuestionIsAnErrorThatTellsWhatItAsks) {
    try {
        throw UnsaidError(Setting::positive, "depths.tif", "does not say it", "say it");
    } catch (const InputError& error) {
        const auto* const unsaid = dynamic_cast<const UnsaidError*>(&error);
        ASSERT_NE(unsaid, nullptr);
        EXPECT_EQ(unsaid->question(), Setting::positive);
        EXPECT_EQ(unsaid->where().text(), "depths.tif");
        EXPECT_STREQ(unsaid->what(), "depths.tif: does not say it; say it");
    }
}

} // namespace
} // namespace swingroom
