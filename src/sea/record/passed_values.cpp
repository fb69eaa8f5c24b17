#include "sea/record/passed_values.hpp"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

/// Stands before the letter of a setting. It is in no text that is fit to be printed.
constexpr char mark = '\x1f';
constexpr char first_letter = 'A';

std::string letter_of(Setting setting) {
    return std::string{mark, static_cast<char>(first_letter + static_cast<int>(setting))};
}
/// The same with a vowel before it, for which an article is another one.
std::string letter_after_vowel(Setting setting) { return "a" + letter_of(setting); }

/// A stretch of a message: a text and the setting that follows it.
struct Stretch {
    std::string text;
    std::optional<Setting> setting; ///< none: it is the last
    bool with_article = false;      ///< of the setting
};

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Stretch>& stretch) {
    pass(bytes, stretch.text);
    auto setting = stretch.setting.value_or(Setting::bathymetry);
    bool follows = stretch.setting.has_value();
    pass(bytes, follows);
    pass_enum(bytes, setting, static_cast<Setting>(settings_count - 1));
    pass(bytes, stretch.with_article);
    if constexpr (!std::is_const_v<Passed<Bytes, Stretch>>) {
        stretch.setting = follows ? std::optional(setting) : std::nullopt;
    }
}

/// Told twice with names that want different articles, a message shows which settings have one.
std::vector<Stretch> stretches_of(const Message& message) {
    const std::string by_letter = message.text(letter_of), by_vowel = message.text(letter_after_vowel);
    std::vector<Stretch> stretches;
    std::string_view left = by_letter, left_by_vowel = by_vowel;
    constexpr std::string_view article = "a ";
    for (;;) {
        const std::size_t at = left.find(mark);
        if (at == std::string_view::npos) break;
        const std::size_t there = left_by_vowel.find(mark); // after the vowel, and after "an" for "a"
        Stretch stretch{std::string(left.substr(0, at)), static_cast<Setting>(left.at(at + 1) - first_letter),
                        there - 1 != at};
        if (stretch.with_article) stretch.text.resize(at - article.size());
        stretches.push_back(std::move(stretch));
        left.remove_prefix(at + 2);
        left_by_vowel.remove_prefix(there + 2);
    }
    stretches.push_back({std::string(left), std::nullopt, false});
    return stretches;
}

} // namespace

void pass(ByteWriter& to, const Message& message) {
    const std::string plain = message.text();
    // A name of a file may be anything; settings beside such a one are told by their plain names.
    const bool has_mark = plain.find(mark) != std::string::npos;
    pass(to, has_mark ? std::vector<Stretch>{{plain, std::nullopt, false}} : stretches_of(message));
}

void pass(ByteReader& from, Message& message) {
    std::vector<Stretch> stretches;
    pass(from, stretches);
    message = Message();
    for (const Stretch& stretch : stretches) {
        if (!stretch.text.empty()) message += stretch.text;
        if (!stretch.setting) continue;
        message += stretch.with_article ? with_article(*stretch.setting) : Message(*stretch.setting);
    }
}

} // namespace swingroom
