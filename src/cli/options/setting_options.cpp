#include "cli/options/setting_options.hpp"

#include <array>
#include <cstddef>

namespace swingroom::cli {

std::string option_of(Setting setting) {
    constexpr std::array<const char*, settings_count> options = {
        "--bathymetry", "--positive", "--depth-unit", "--chart-datum", "--uncertainty", "--crs",
        "--variable",   "--chart",    "--hazards",    "--rules",       "--cell",        "--bounds",
        "--format",     "--out",      "--picture",    "--overwrite"};
    return options.at(static_cast<std::size_t>(setting));
}

std::string in_options(const Message& message) { return message.text(option_of); }

std::vector<std::string> in_options(const std::vector<Message>& messages) {
    std::vector<std::string> texts;
    for (const Message& message : messages) {
        texts.push_back(in_options(message));
    }
    return texts;
}

} // namespace swingroom::cli
