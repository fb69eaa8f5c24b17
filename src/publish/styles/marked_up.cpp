#include "publish/styles/marked_up.hpp"

#include "swingroom/base/markup.hpp"

namespace swingroom {

std::string plain_text(std::string_view text) {
    std::string plain;
    for (const char c : text) {
        const auto code = static_cast<unsigned char>(c);
        if (code <= 0x20 || code == 0x7F) {
            if (!plain.empty() && plain.back() != ' ') plain += ' ';
        } else if (c == '<') {
            plain += "\u2039";
        } else if (c == '>') {
            plain += "\u203A";
        } else {
            plain += c;
        }
    }
    if (!plain.empty() && plain.back() == ' ') plain.pop_back();
    return clean_text(plain);
}

} // namespace swingroom
