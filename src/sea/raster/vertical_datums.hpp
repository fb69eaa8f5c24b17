#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>

namespace swingroom {

/// One entry of the list.
struct VerticalDatum {
    /// Greater than 0.
    int code;
    /// In words, in lower case but for proper names.
    std::string_view name;
};

/// Vertical datums by their codes: IHO S-57 attribute VERDAT (appendix A, chapter 2), whose numbers S-100 has
/// kept (edition 5, code list S100_VerticalAndSoundingDatum).
inline constexpr std::array vertical_datums = {VerticalDatum{1, "mean low water springs"},
                                               VerticalDatum{2, "mean lower low water springs"},
                                               VerticalDatum{3, "mean sea level"},
                                               VerticalDatum{4, "lowest low water"},
                                               VerticalDatum{5, "mean low water"},
                                               VerticalDatum{6, "lowest low water springs"},
                                               VerticalDatum{7, "approximate mean low water springs"},
                                               VerticalDatum{8, "Indian spring low water"},
                                               VerticalDatum{9, "low water springs"},
                                               VerticalDatum{10, "approximate lowest astronomical tide"},
                                               VerticalDatum{11, "nearly lowest low water"},
                                               VerticalDatum{12, "mean lower low water"},
                                               VerticalDatum{13, "low water"},
                                               VerticalDatum{14, "approximate mean low water"},
                                               VerticalDatum{15, "approximate mean lower low water"},
                                               VerticalDatum{16, "mean high water"},
                                               VerticalDatum{17, "mean high water springs"},
                                               VerticalDatum{18, "high water"},
                                               VerticalDatum{19, "approximate mean sea level"},
                                               VerticalDatum{20, "high water springs"},
                                               VerticalDatum{21, "mean higher high water"},
                                               VerticalDatum{22, "equinoctial spring low water"},
                                               VerticalDatum{23, "lowest astronomical tide"},
                                               VerticalDatum{24, "local datum"},
                                               VerticalDatum{25, "International Great Lakes Datum 1985"},
                                               VerticalDatum{26, "mean water level"},
                                               VerticalDatum{27, "lower low water large tide"},
                                               VerticalDatum{28, "higher high water large tide"},
                                               VerticalDatum{29, "nearly highest high water"},
                                               VerticalDatum{30, "highest astronomical tide"},
                                               VerticalDatum{44, "Baltic Sea chart datum 2000"}};

/// The datum's name in words; none for a code that is not in the list.
inline std::optional<std::string_view> vertical_datum(int code) {
    const auto* const found = std::find_if(vertical_datums.begin(), vertical_datums.end(),
                                           [&](const VerticalDatum& datum) { return datum.code == code; });
    if (found == vertical_datums.end()) return std::nullopt;
    return found->name;
}

} // namespace swingroom
