#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// What GDAL passes over in inputs that are text: numbers that it reads only as far as they parse, and files
/// that end in the middle. Everything else is left to its parsers.
namespace swingroom {

/// The bytes of an input, one by one, with the number of the line.
class InputBytes {
public:
    /// @throws IoError  it cannot be opened
    explicit InputBytes(const std::string& path);
    ~InputBytes();
    InputBytes(const InputBytes&) = delete;
    InputBytes& operator=(const InputBytes&) = delete;

    /// The next byte; -1 at the end.   @throws IoError  reading fails
    int get() {
        if (at_ == held_ && !fill()) return -1;
        const auto byte = static_cast<unsigned char>(buffer_[at_++]);
        line_ += byte == '\n' ? 1 : 0;
        return byte;
    }
    /// So many bytes; fewer at the end.   @throws IoError  reading fails
    std::string take(std::size_t bytes);
    /// To a byte of the file, counted from 0; lines are not counted on from there.   @throws IoError
    void go_to(std::uint64_t offset);
    /// The line of the byte that comes next, counted from 1.
    [[nodiscard]] std::int64_t line() const { return line_; }
    /// The file, as the user named it.
    [[nodiscard]] const std::string& path() const { return path_; }
    /// Where the next byte is, for messages: "reefs.kml, line 12".
    [[nodiscard]] std::string place() const { return path_ + ", line " + std::to_string(line_); }

private:
    bool fill();
    std::string path_;
    void* file_;
    std::vector<char> buffer_;
    std::size_t at_ = 0, held_ = 0;
    std::uint64_t held_at_ = 0; ///< of the buffer's begin in the file
    std::int64_t line_ = 1;
};

/// Whether a text is one decimal number to its end: "-29.047", "1e3", ".5", "5.", blanks around it aside.
bool is_decimal_number(std::string_view text);

/// Elements of an XML file that a parser has found well-formed, or will.
class XmlVisitor {
public:
    /// Names as they stand, and values with their entities resolved, in the order of the file; of characters
    /// beyond ASCII that an entity gives, each is a "?".
    using Attributes = std::vector<std::pair<std::string, std::string>>;
    virtual ~XmlVisitor() = default;
    /// @param name  without its namespace
    virtual void begins(const std::string& name, const Attributes& attributes, const InputBytes& at) = 0;
    /// An element that has begun ends; those within it have ended before.
    virtual void ends(const std::string& name, const InputBytes& at) = 0;
    /// Text between two tags, perhaps in several pieces; asked for where wants_text().
    virtual void text(std::string_view) {}
    /// Asked before every character between tags: what stands there while it is false is passed over.
    [[nodiscard]] virtual bool wants_text() const { return false; }
};
/// @throws InputError  in another encoding than one of single bytes, or with entities of its own
void each_element(InputBytes& in, XmlVisitor& visitor);
/// The value of an attribute; null if there is none.
const std::string* attribute(const XmlVisitor::Attributes& attributes, std::string_view name);

/// Numbers of GeoJSON and TopoJSON that are none, values without a comma between, a file that ends in the
/// middle.   @throws InputError, IoError
void require_sound_json(const std::string& path);
/// The same for a sequence of features, each on its line or after a record separator.
/// @returns how many there are
std::int64_t require_sound_json_sequence(const std::string& path);
/// Coordinates of KML and positions of GPX that are no numbers.   @throws InputError, IoError
void require_sound_kml(const std::string& path);
/// The same for GPX: latitudes and longitudes of points.
void require_sound_gpx(const std::string& path);

} // namespace swingroom
