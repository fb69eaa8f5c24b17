#include "cli/options.hpp"

#include "swingroom/base/error.hpp"

#include "base/nearest_name.hpp"

#include <algorithm>
#include <string_view>
#include <vector>

namespace swingroom::cli {

double within(double value, Range range, const std::string& given, const std::string& where,
              const std::string& cure) {
    if (!(value >= range.least && value <= range.most))
        throw InputError(where, "\"" + given + "\" is not possible", cure);
    return value;
}

std::string cure_for_unknown(const std::string& option, const std::string& prefix,
                             const boost::program_options::options_description& known,
                             const std::string& otherwise) {
    std::vector<std::string_view> names;
    for (const auto& one : known.options())
        names.emplace_back(one->long_name());
    const std::string bare = option.substr(std::min(option.find_first_not_of('-'), option.size()));
    const std::string_view nearest = nearest_name(bare, names);
    return nearest.empty() ? otherwise : "did you mean " + prefix + std::string(nearest) + "?";
}

} // namespace swingroom::cli
