#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/report/cruise_page.hpp"

#include <cstddef>
#include <memory>

namespace swingroom {

/// Maps of where the stays of a cruise are, north up, in Mercator's projection: each stay a frame around its
/// area, and its number. There are no coasts and no depths in them.
class CruiseMap {
public:
    /// @pre the cruise has a stay
    explicit CruiseMap(const CruiseFigures& cruise);
    ~CruiseMap();
    CruiseMap(const CruiseMap&) = delete;
    CruiseMap& operator=(const CruiseMap&) = delete;

    /// All stays with their numbers, as SVG.
    [[nodiscard]] Markup overview() const;
    /// The same small, with the number of one stay alone, the others as dots.   @param stay  from 0
    [[nodiscard]] Markup locator(std::size_t stay) const;

private:
    struct Sheet;
    const CruiseFigures& cruise_;
    std::unique_ptr<const Sheet> sheet_;
};

} // namespace swingroom
