#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// What a caller can say to the libraries. A message names such a thing by its type, since what it is called
/// depends on who reads: to a program it is a member or an argument, on the command line an option.
enum class Setting {
    bathymetry,
    positive,
    depth_unit,
    chart_datum,
    uncertainty,
    crs,
    variable,
    chart,
    hazards,
    rules,
    cell,
    bounds,
    format,
    out,
    picture,
    overwrite
};
/// How many settings there are.
inline constexpr std::size_t settings_count = 16;

/// What a program calls it: "chart datum", "bounds".
std::string plain_name(Setting setting);

/// A sentence for people in which settings are still named by their type. It is put together with `+`, like
/// text, and becomes text where it is known who reads it.
class Message {
public:
    /// What a setting is called where the message is told.
    using NameOf = std::string (*)(Setting);

    /// An empty message.
    Message() = default;
    /// A message without settings. Implicit, so that it can be written as plain text.
    Message(std::string text); // NOLINT(google-explicit-constructor)
    /// The same of a literal.
    Message(const char* text); // NOLINT(google-explicit-constructor)
    /// A message that is the name of a setting.
    Message(Setting setting); // NOLINT(google-explicit-constructor)

    /// Appends another message, whose settings stay settings.
    Message& operator+=(const Message& more);

    /// @param name_of  names the settings; as for a program if not given
    [[nodiscard]] std::string text(NameOf name_of = plain_name) const;
    /// The same message with its settings named for good.
    [[nodiscard]] Message with_names(NameOf name_of) const { return text(name_of); }

private:
    friend Message with_article(Setting setting);

    struct Piece {
        std::string text;
        std::optional<Setting> setting;
        bool with_article = false;
    };
    std::vector<Piece> pieces_;
};

/// Joins two messages, either of which may be plain text or a setting.
Message operator+(Message first, const Message& second);
/// Joins a literal and a setting, for which the operator above is no candidate: neither of them is a class.
Message operator+(const char* text, Setting setting);
/// The same the other way round.
Message operator+(Setting setting, const char* text);

/// "a folder", "an overwrite": a setting with the article that its name wants.
Message with_article(Setting setting);

} // namespace swingroom
