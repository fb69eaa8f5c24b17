#include "swingroom/base/message.hpp"

#include <array>
#include <utility>

namespace swingroom {
namespace {

/// The article goes by the first letter, whatever dashes stand before it.
std::string article_of(std::string_view name) {
    const std::size_t letter = name.find_first_not_of('-');
    const bool vowel = letter != std::string_view::npos &&
                       std::string_view("aeiou").find(name[letter]) != std::string_view::npos;
    return vowel ? "an " : "a ";
}

} // namespace

std::string plain_name(Setting setting) {
    constexpr std::array<std::string_view, settings_count> names = {
        "bathymetry", "positive", "depth unit", "chart datum", "uncertainty", "CRS",
        "variable",   "chart",    "hazards",    "rules",       "cell",        "bounds",
        "format",     "folder",   "picture",    "overwrite"};
    return std::string(names.at(static_cast<std::size_t>(setting)));
}

Message::Message(std::string text) { pieces_.push_back({std::move(text), std::nullopt}); }
Message::Message(const char* text) : Message(std::string(text)) {}
Message::Message(Setting setting) { pieces_.push_back({{}, setting}); }

Message& Message::operator+=(const Message& more) {
    for (std::size_t i = 0, count = more.pieces_.size(); i < count; ++i) {
        pieces_.push_back(more.pieces_[i]);
    }
    return *this;
}

std::string Message::text(NameOf name_of) const {
    std::string text;
    for (const Piece& piece : pieces_) {
        if (!piece.setting) {
            text += piece.text;
            continue;
        }
        const std::string name = name_of(*piece.setting);
        text += (piece.with_article ? article_of(name) : "") + name;
    }
    return text;
}

Message operator+(Message first, const Message& second) {
    first += second;
    return first;
}

Message operator+(const char* text, Setting setting) { return Message(text) + Message(setting); }
Message operator+(Setting setting, const char* text) { return Message(setting) + Message(text); }

Message with_article(Setting setting) {
    Message message(setting);
    message.pieces_.front().with_article = true;
    return message;
}

} // namespace swingroom
