#include "sea/files/input_text.hpp"

#include "swingroom/base/error.hpp"

#include "sea/files/watched_reading.hpp"

#include <cpl_port.h>
#include <cpl_vsi.h>

#include <algorithm>
#include <cctype>
#include <optional>

namespace swingroom {
namespace {

constexpr std::size_t most_shown = 40;
constexpr const char* mend = "mend it, or take the feature out";

/// What stands in a file, for a message: short and without control characters.
std::string shown(std::string_view text) {
    std::string out(text.substr(0, most_shown));
    std::replace_if(
        out.begin(), out.end(), [](char c) { return std::iscntrl(static_cast<unsigned char>(c)) != 0; }, ' ');
    return "\"" + out + (text.size() > most_shown ? "..." : "") + "\"";
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_blank(int c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && is_blank(text.front())) {
        text.remove_prefix(1);
    }
    while (!text.empty() && is_blank(text.back())) {
        text.remove_suffix(1);
    }
    return text;
}

std::size_t skip_digits(std::string_view text, std::size_t& at) {
    const std::size_t begin = at;
    while (at < text.size() && is_digit(text[at])) {
        ++at;
    }
    return at - begin;
}

/// "046": in most files the rest of a number whose decimal point is a comma.
bool has_idle_zero(std::string_view number) {
    if (!number.empty() && (number[0] == '-' || number[0] == '+')) number.remove_prefix(1);
    return number.size() > 1 && number[0] == '0' && is_digit(number[1]);
}

} // namespace

// ---- bytes ---------------------------------------------------------------------------------------------

InputBytes::InputBytes(const std::string& path)
    : path_(path), file_(VSIFOpenL(watched::gdal_name(path).c_str(), "rb")), buffer_(1U << 16) {
    watched::throw_if_failed();
    if (!file_) throw IoError(path, "cannot be opened");
}

InputBytes::~InputBytes() {
    if (file_) VSIFCloseL(static_cast<VSILFILE*>(file_));
}

bool InputBytes::fill() {
    at_ = 0;
    held_at_ += held_;
    held_ = VSIFReadL(buffer_.data(), 1, buffer_.size(), static_cast<VSILFILE*>(file_));
    if (held_ < buffer_.size()) watched::throw_if_failed();
    return held_ > 0;
}

std::string InputBytes::take(std::size_t bytes) {
    std::string out;
    while (out.size() < bytes && (at_ < held_ || fill())) {
        const std::size_t some = std::min(bytes - out.size(), held_ - at_);
        out.append(buffer_.data() + at_, some);
        at_ += some;
    }
    return out;
}

void InputBytes::go_to(std::uint64_t offset) {
    if (offset >= held_at_ && offset - held_at_ <= held_) {
        at_ = static_cast<std::size_t>(offset - held_at_);
        return;
    }
    const bool gone = VSIFSeekL(static_cast<VSILFILE*>(file_), offset, SEEK_SET) == 0;
    watched::throw_if_failed();
    if (!gone) throw IoError(path_, "cannot be read at byte " + std::to_string(offset));
    held_at_ = offset;
    at_ = held_ = 0;
}

bool is_decimal_number(std::string_view text) {
    text = trimmed(text);
    std::size_t at = !text.empty() && (text[0] == '-' || text[0] == '+') ? 1 : 0;
    std::size_t digits = skip_digits(text, at);
    if (at < text.size() && text[at] == '.') digits += skip_digits(text, ++at);
    if (digits == 0) return false;
    if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
        ++at;
        if (at < text.size() && (text[at] == '-' || text[at] == '+')) ++at;
        if (skip_digits(text, at) == 0) return false;
    }
    return at == text.size();
}

// ---- JSON ----------------------------------------------------------------------------------------------

namespace {

/// Follows JSON token by token, as far as numbers, commas and brackets go.
class JsonCheck {
public:
    /// @param sequence  one text after the other, each on its line or after a record separator
    JsonCheck(const std::string& path, bool sequence) : in_(path), sequence_(sequence) {}

    /// @returns how many values stand at the top
    std::int64_t run() {
        while (const auto byte = next()) {
            step(static_cast<char>(*byte));
        }
        if (depth_ > 0) refuse_cut();
        return values_;
    }

private:
    enum class Before { nothing, value, comma };
    static constexpr char record_separator = '\x1e';

    std::optional<int> next() {
        if (again_) return std::exchange(again_, std::nullopt);
        const int byte = in_.get();
        return byte < 0 ? std::nullopt : std::optional<int>(byte);
    }
    void step(char c) {
        if (c == record_separator) separated_ = true;
        if (sequence_ && (c == record_separator || (c == '\n' && !separated_))) {
            if (depth_ > 0) refuse_cut();
            before_ = Before::nothing;
        } else if (c == '"') {
            value();
            string();
        } else if (c == '{' || c == '[') {
            value();
            ++depth_;
            before_ = Before::nothing;
        } else if (c == '}' || c == ']') {
            depth_ = std::max(0, depth_ - 1); // one too many is for the parser to tell
            before_ = Before::value;
        } else if (c == ',' || c == ':') {
            if (before_ != Before::value && depth_ > 0) {
                throw InputError(in_.place(), "has a value missing before a comma or colon", mend);
            }
            before_ = Before::comma;
        } else if (c == '-' || c == '+' || c == '.' || std::isalnum(static_cast<unsigned char>(c))) {
            value();
            word(c);
        }
    }
    /// A value begins.
    void value() {
        if (before_ == Before::value && depth_ > 0) {
            throw InputError(in_.place(), "has two values without a comma between", mend);
        }
        if (depth_ == 0) ++values_;
        before_ = Before::value;
    }
    void string() {
        for (bool escaped = false;;) {
            const auto byte = next();
            if (!byte || (sequence_ && *byte == '\n')) refuse_cut();
            if (!escaped && *byte == '"') return;
            escaped = !escaped && *byte == '\\';
        }
    }
    void word(char first) {
        std::string text(1, first);
        const std::int64_t line = in_.line();
        while (const auto byte = next()) {
            const char c = static_cast<char>(*byte);
            if (c != '-' && c != '+' && c != '.' && !std::isalnum(static_cast<unsigned char>(c))) {
                again_ = byte;
                break;
            }
            text += c;
        }
        // true, null, and NaN or -Infinity, which are refused where they are a coordinate.
        const auto is_letter = [&](std::size_t at) {
            return at < text.size() && std::isalpha(static_cast<unsigned char>(text[at])) != 0;
        };
        const bool is_word = is_letter(0) || ((first == '-' || first == '+') && is_letter(1));
        if (is_word || (is_decimal_number(text) && !has_idle_zero(text))) return;
        throw InputError(in_.path() + ", line " + std::to_string(line), "has " + shown(text) + ", no number",
                         mend);
    }
    [[noreturn]] void refuse_cut() const {
        throw IoError(in_.place(), "ends in the middle of a " + std::string(sequence_ ? "feature" : "value") +
                                       ": the file is cut off or broken");
    }

    InputBytes in_;
    bool sequence_, separated_ = false;
    std::optional<int> again_;
    int depth_ = 0;
    std::int64_t values_ = 0;
    Before before_ = Before::nothing;
};

} // namespace

void require_sound_json(const std::string& path) { JsonCheck(path, false).run(); }

std::int64_t require_sound_json_sequence(const std::string& path) { return JsonCheck(path, true).run(); }

// ---- XML -----------------------------------------------------------------------------------------------

namespace {

/// Takes XML apart into tags and text.
class XmlReader {
public:
    XmlReader(InputBytes& in, XmlVisitor& visitor) : in_(in), visitor_(visitor) {}

    void run() {
        std::string text;
        bool first = true;
        for (int c = in_.get(); c >= 0; c = in_.get()) {
            if (first && (c == 0xFE || c == 0xFF || c == 0)) {
                throw InputError(in_.path(), "is XML in an encoding that is not read here",
                                 "write it in UTF-8");
            }
            first = false;
            if (c != '<') {
                if (visitor_.wants_text()) text += static_cast<char>(c);
                continue;
            }
            if (!text.empty()) visitor_.text(decoded(text));
            text.clear();
            markup();
        }
    }

private:
    void markup() {
        const int c = in_.get();
        if (c == '?') {
            until("?>");
        } else if (c == '!') {
            declaration();
        } else if (c == '/') {
            const std::string name = until(">");
            visitor_.ends(local(std::string(trimmed(name))), in_);
        } else if (c >= 0) {
            tag(static_cast<char>(c));
        }
    }
    void declaration() {
        std::string begun;
        for (int c = in_.get(); c >= 0 && c != '>'; c = in_.get()) {
            begun += static_cast<char>(c);
            if (begun == "--") {
                until("-->");
                return;
            }
            if (begun == "[CDATA[") {
                const std::string text = until("]]>");
                if (visitor_.wants_text()) visitor_.text(text);
                return;
            }
            if (begun.ends_with("<!ENTITY")) {
                throw InputError(in_.place(), "defines entities of its own, which are not read here",
                                 "write the file without them");
            }
        }
    }
    /// What comes before an ending.
    std::string until(std::string_view ending) {
        std::string text;
        for (int c = in_.get(); c >= 0; c = in_.get()) {
            text += static_cast<char>(c);
            if (text.ends_with(ending)) {
                text.resize(text.size() - ending.size());
                break;
            }
        }
        return text;
    }
    void tag(char first) {
        std::string name(1, first);
        int c = in_.get();
        for (; c >= 0 && c != '>' && c != '/' && !is_blank(c); c = in_.get()) {
            name += static_cast<char>(c);
        }
        attributes_.clear();
        bool closes = false;
        while (c >= 0 && c != '>') {
            closes = c == '/';
            if (closes || is_blank(c)) {
                c = in_.get();
                continue;
            }
            c = one_attribute(static_cast<char>(c));
        }
        name = local(name);
        visitor_.begins(name, attributes_, in_);
        if (closes) visitor_.ends(name, in_);
    }
    /// @returns the byte after it
    int one_attribute(char first) {
        std::string name(1, first), value;
        int c = in_.get();
        for (; c >= 0 && c != '=' && c != '>'; c = in_.get()) {
            name += static_cast<char>(c);
        }
        if (c != '=') return c;
        do {
            c = in_.get();
        } while (is_blank(c));
        if (c != '"' && c != '\'') return c; // not well-formed: for the parser to tell
        const int quote = c;
        for (c = in_.get(); c >= 0 && c != quote; c = in_.get()) {
            value += static_cast<char>(c);
        }
        attributes_.emplace_back(std::string(trimmed(name)), decoded(value));
        return in_.get();
    }
    static std::string local(const std::string& name) {
        const auto colon = name.find(':');
        return colon == std::string::npos ? name : name.substr(colon + 1);
    }
    static std::string decoded(const std::string& text) {
        if (text.find('&') == std::string::npos) return text;
        std::string out;
        for (std::size_t at = 0; at < text.size(); ++at) {
            const std::size_t end = text[at] == '&' ? text.find(';', at) : std::string::npos;
            if (end == std::string::npos) {
                out += text[at];
                continue;
            }
            out += character(text.substr(at + 1, end - at - 1));
            at = end;
        }
        return out;
    }
    /// Of an entity's name; characters beyond ASCII, which no number and no key of ours holds, as "?".
    static char character(const std::string& name) {
        if (name == "lt") return '<';
        if (name == "gt") return '>';
        if (name == "amp") return '&';
        if (name == "quot") return '"';
        if (name == "apos") return '\'';
        if (name.size() < 2 || name[0] != '#') return '?';
        const bool hexadecimal = name[1] == 'x';
        unsigned long code = 0;
        for (const char c : name.substr(hexadecimal ? 2 : 1)) {
            if (!std::isxdigit(static_cast<unsigned char>(c))) return '?';
            const int digit = is_digit(c) ? c - '0' : std::tolower(static_cast<unsigned char>(c)) - 'a' + 10;
            code = std::min(code * (hexadecimal ? 16UL : 10UL) + static_cast<unsigned long>(digit), 0xFFFFUL);
        }
        return code < 0x80 ? static_cast<char>(code) : '?';
    }

    InputBytes& in_;
    XmlVisitor& visitor_;
    XmlVisitor::Attributes attributes_;
};

/// Whether a number between two commas could be the rest of the one before it, whose decimal point is a
/// comma.
bool could_be_decimals(std::string_view number) {
    return has_idle_zero(number) && is_digit(number[0]) && number.find('.') == std::string_view::npos;
}

/// Whether a field behind longitude and latitude does no harm, since heights are not used: empty, or none.
bool is_no_height(std::string_view field) {
    return field.empty() || EQUAL(std::string(field).c_str(), "nan");
}

/// longitude,latitude or longitude,latitude,height, perhaps with a comma at its end.
bool is_kml_position(std::string_view position) {
    std::vector<std::string_view> fields;
    for (std::size_t begin = 0; begin <= position.size();) {
        const std::size_t end = std::min(position.find(',', begin), position.size());
        fields.push_back(trimmed(position.substr(begin, end - begin)));
        begin = end + 1;
    }
    if (fields.size() < 2 || !is_decimal_number(fields[0]) || !is_decimal_number(fields[1]) ||
        could_be_decimals(fields[1])) {
        return false;
    }
    // A point in the latitude proves that the commas stand between numbers and not inside of them: "4,60,046"
    // may be 60.046 N, and "-29,05," the begin of "-29,05, 47,95".
    const bool commas_separate = fields[1].find('.') != std::string_view::npos;
    if (fields.size() > 2 && !is_no_height(fields[2]) &&
        (!is_decimal_number(fields[2]) || (could_be_decimals(fields[2]) && !commas_separate))) {
        return false;
    }
    const bool ends_with_comma = fields.back().empty();
    fields.resize(std::max<std::size_t>(fields.size(), 3));
    return std::all_of(fields.begin() + 3, fields.end(), [](auto field) { return field.empty(); }) &&
           (commas_separate || !ends_with_comma);
}

/// Positions in <coordinates>; and tracks with times, of which the driver makes nothing at all.
class KmlCheck : public XmlVisitor {
public:
    void begins(const std::string& name, const Attributes&, const InputBytes& at) override {
        if (name == "Placemark") ++placemarks_;
        if (name == "coordinates") inside_ = true;
        if (holds_anything(name)) ++foreign_;
        if ((name == "Track" || name == "MultiTrack") && foreign_ == 0) {
            throw InputError(place(at), "is a track with times (gx:" + name + "), which is not read",
                             "convert the file (ogr2ogr OUT.gpkg IN.kml, which needs the driver LIBKML), or "
                             "draw the track as a LineString");
        }
        text_.clear();
    }
    void text(std::string_view piece) override { text_ += piece; }
    [[nodiscard]] bool wants_text() const override { return inside_; }
    void ends(const std::string& name, const InputBytes& at) override {
        if (holds_anything(name)) --foreign_;
        if (name != "coordinates" || !inside_) return;
        inside_ = false;
        std::string_view rest = trimmed(text_);
        while (!rest.empty()) {
            std::size_t end = 0;
            while (end < rest.size() && !is_blank(rest[end])) {
                ++end;
            }
            // The driver takes "4, 60" for 4 E on the equator, or for two positions: no blanks after commas.
            if (const std::string_view position = rest.substr(0, end); !is_kml_position(position)) {
                refuse(position, at);
            }
            rest = trimmed(rest.substr(end));
        }
    }

private:
    /// Elements that a writer fills with names of its own.
    static bool holds_anything(const std::string& name) {
        return name == "ExtendedData" || name == "Metadata";
    }
    [[noreturn]] void refuse(std::string_view position, const InputBytes& at) const {
        throw InputError(place(at),
                         "its coordinates hold " + shown(position) +
                             ", which is not longitude,latitude or longitude,latitude,height",
                         mend);
    }

    [[nodiscard]] std::string place(const InputBytes& at) const {
        return at.place() + ", placemark " + std::to_string(placemarks_);
    }

    bool inside_ = false;
    int foreign_ = 0; ///< how deep in elements that hold anything
    std::int64_t placemarks_ = 0;
    std::string text_;
};

/// Points of routes, tracks and on their own.
class GpxCheck : public XmlVisitor {
public:
    void begins(const std::string& name, const Attributes& attributes, const InputBytes& at) override {
        if (name != "wpt" && name != "rtept" && name != "trkpt") return;
        for (const char* which : {"lat", "lon"}) {
            const std::string* const value = attribute(attributes, which);
            if (!value || !is_decimal_number(*value)) {
                throw InputError(at.place() + ", " + name,
                                 value ? "its " + std::string(which) + " is " + shown(*value) + ", no number"
                                       : "has no " + std::string(which),
                                 mend);
            }
        }
    }
    void ends(const std::string&, const InputBytes&) override {}
};

} // namespace

void each_element(InputBytes& in, XmlVisitor& visitor) { XmlReader(in, visitor).run(); }

const std::string* attribute(const XmlVisitor::Attributes& attributes, std::string_view name) {
    const auto found = std::find_if(attributes.begin(), attributes.end(),
                                    [&](const auto& attribute) { return attribute.first == name; });
    return found == attributes.end() ? nullptr : &found->second;
}

void require_sound_kml(const std::string& path) {
    InputBytes in(path);
    KmlCheck check;
    each_element(in, check);
}

void require_sound_gpx(const std::string& path) {
    InputBytes in(path);
    GpxCheck check;
    each_element(in, check);
}

} // namespace swingroom
