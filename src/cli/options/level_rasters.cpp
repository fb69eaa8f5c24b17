#include "cli/options/level_rasters.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/water/levels.hpp"

#include "cli/options/conditions_options.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"

#include <cctype>
#include <filesystem>
#include <system_error>

namespace swingroom::cli {
namespace {

bool is_length(const std::string& text) {
    try {
        (void)parse_length(text, "");
        return true;
    } catch (const InputError&) {
        return false;
    }
}

/// A slash, or an ending that begins with a letter.
bool looks_like_a_path(const std::string& text) {
    if (text.find('/') != std::string::npos) return true;
    const std::size_t dot = text.rfind('.');
    return dot != std::string::npos && dot > 0 && dot + 1 < text.size() &&
           std::isalpha(static_cast<unsigned char>(text[dot + 1])) != 0;
}

} // namespace

bool names_raster(const std::string& text) {
    if (is_length(text)) return false;
    std::error_code ignored;
    return looks_like_a_path(text) || std::filesystem::is_regular_file(text, ignored);
}

LevelsRequest level_requests(const boost::program_options::variables_map& given) {
    const auto raster = [&](const Needed& level) { return names_raster(required(given, level)); };
    if (!raster(low_water_needed) && !raster(high_water_needed)) {
        const WaterLevels numbers = levels_of(given);
        return {{numbers.low_m, {}}, {numbers.high_m, {}}};
    }
    const auto request = [&](const Needed& level) {
        const std::string option = std::string("--") + level.name, text = required(given, level);
        LevelRequest said = level_or_raster(text, option);
        if (said.file.empty()) {
            within(said.level_m, {-20, 30}, text, option, "give -20 to 30 m above chart datum");
        }
        return said;
    };
    return {request(low_water_needed), request(high_water_needed)};
}

LevelRequest level_or_raster(const std::string& text, const std::string& option) {
    if (names_raster(text)) return {0, text};
    return {parse_length(text, option).metres(), {}};
}

} // namespace swingroom::cli
