#pragma once

#include <memory>
#include <string>
#include <vector>

namespace swingroom {

/// A value of a JSON document that this program has written and reads again. What is not as it was written is
/// an error that names the document and the member.
class JsonValue {
public:
    /// @param source  of the text, for messages   @throws IoError  it is no JSON
    static JsonValue parse(const std::string& text, const std::string& source);

    // Members of an object.
    /// @throws IoError  there is no such text
    [[nodiscard]] std::string text(const std::string& member) const;
    /// Whether a member is null.   @throws IoError  there is none
    [[nodiscard]] bool is_null(const std::string& member) const;
    /// A text; empty where it is null.
    [[nodiscard]] std::string text_or_null(const std::string& member) const;
    /// NaN where it is null.   @throws IoError  there is no such number
    [[nodiscard]] double number(const std::string& member) const;
    /// @throws IoError  it is neither true nor false
    [[nodiscard]] bool truth(const std::string& member) const;
    /// @throws IoError  there is no such object
    [[nodiscard]] JsonValue object(const std::string& member) const;
    /// @throws IoError  there is no such list
    [[nodiscard]] std::vector<JsonValue> list(const std::string& member) const;
    /// @throws IoError  there is no such list, or not of texts alone
    [[nodiscard]] std::vector<std::string> texts(const std::string& member) const;

    /// Says that a member is not as it was written.   @throws IoError
    [[noreturn]] void refuse(const std::string& member) const;

private:
    struct Node; ///< of GDAL's parser, with its document
    JsonValue(std::shared_ptr<const Node> node, std::string source);
    [[nodiscard]] Node found(const std::string& member) const;

    std::shared_ptr<const Node> node_;
    std::string source_;
};

} // namespace swingroom
