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
inline constexpr std::size_t settings_count = 16;

/// What a program calls it: "chart datum", "bounds".
std::string plain_name(Setting setting);

/// A sentence for people in which settings are still named by their type. It is put together with `+`, like
/// text, and becomes text where it is known who reads it.
class Message {
public:
    /// What a setting is called where the message is told.
    using NameOf = std::string (*)(Setting);

    Message() = default;
    // Implicit, so that a message without settings is written as plain text.
    Message(std::string text); // NOLINT(google-explicit-constructor)
    Message(const char* text); // NOLINT(google-explicit-constructor)
    Message(Setting setting);  // NOLINT(google-explicit-constructor)

    Message& operator+=(const Message& more);

    /// @param name_of  names the settings; as for a program if not given
    [[nodiscard]] std::string text(NameOf name_of = plain_name) const;
    /// The same message with its settings named for good.
    [[nodiscard]] Message told(NameOf name_of) const { return text(name_of); }

private:
    friend Message with_article(Setting setting);

    struct Piece {
        std::string text;
        std::optional<Setting> setting;
        bool with_article = false;
    };
    std::vector<Piece> pieces_;
};

Message operator+(Message first, const Message& second);
// Without a class among its operands the one above is no candidate.
Message operator+(const char* text, Setting setting);
Message operator+(Setting setting, const char* text);

/// "a folder", "an overwrite": a setting with the article that its name wants.
Message with_article(Setting setting);

} // namespace swingroom
