#include "cli/options/folder_names.hpp"

#include "base/plain_letters.hpp"

#include <algorithm>
#include <cctype>
#include <cstddef>
#include <set>

namespace swingroom::cli {
namespace {

/// Without a number that tells it from another.
constexpr std::size_t most_letters = 40;

/// "Île d'Yeu, north" as "ile-d-yeu-north".
std::string small_letters(const std::string& name) {
    std::string letters;
    bool gap = false;
    for (const char c : in_plain_letters(name)) {
        const auto byte = static_cast<unsigned char>(c);
        if (std::isalnum(byte) == 0) {
            gap = true;
            continue;
        }
        if (gap && !letters.empty()) letters += '-';
        gap = false;
        letters += static_cast<char>(std::tolower(byte));
    }
    letters.resize(std::min(letters.size(), most_letters));
    if (letters.ends_with('-')) letters.pop_back();
    return letters;
}

/// Windows opens a device for these, wherever they stand.
std::set<std::string> names_of_devices() {
    std::set<std::string> names = {"con", "prn", "aux", "nul"};
    for (char digit = '0'; digit <= '9'; ++digit) {
        names.insert({std::string("com") + digit, std::string("lpt") + digit});
    }
    return names;
}

} // namespace

std::vector<std::string> folder_names(const std::vector<std::string>& names, const std::string& otherwise) {
    std::set<std::string> taken = names_of_devices();
    std::vector<std::string> folders;
    for (const std::string& name : names) {
        const std::string letters = small_letters(name), stem = letters.empty() ? otherwise : letters;
        std::string folder = stem;
        for (int number = 2; !taken.insert(folder).second; ++number) {
            folder = stem + "-" + std::to_string(number);
        }
        folders.push_back(folder);
    }
    return folders;
}

} // namespace swingroom::cli
