#pragma once

#include "swingroom/overlay/way_in.hpp"
#include "swingroom/room/verdict.hpp"

#include <cstdint>
#include <vector>

namespace swingroom {

/// What is to be minded of a yes that stands so to the way in.
constexpr std::uint16_t advice_of(Reach reach) {
    switch (reach) {
    case Reach::unknown:
        return advice::way_unknown;
    case Reach::at_times:
        return advice::wait_for_water;
    case Reach::never:
        return advice::out_of_reach;
    case Reach::always:
        break;
    }
    return 0;
}

/// How the yes cells of a block stand to the way in. Its levels are looked for only once there is a yes, and
/// at first those of open water, which are found soon: most blocks need no more.
class BlockReach {
public:
    /// Another block.   @param way_in  null: nobody looked   @param everywhere  whether all cells are asked
    /// for
    void begin(const WayIn* way_in, Window core, bool everywhere);
    /// The next row.   @param yes  its yes cells, counted from the core's first column
    void take_row(int row, const std::vector<int>& yes);

    /// Bits of `advice` of a cell of the row; none but of a yes.
    [[nodiscard]] std::uint16_t advice(int i) const {
        return advice_.empty() ? std::uint16_t(0) : advice_[static_cast<std::size_t>(i)];
    }
    /// All of these bits that neighbouring cells [begin, end) of the row have.
    [[nodiscard]] std::uint16_t advice(int begin, int end) const;
    /// What is told of a cell of the row that was judged so.
    [[nodiscard]] Verdict told(Verdict judged, int i) const { return swingroom::told(judged, advice(i)); }
    /// ZoneFigures::access_level_max_m of neighbouring yes cells [begin, end) of the row.
    [[nodiscard]] float zone_level_m(int begin, int end) const;
    /// Of the core; null where nobody looked, it is not known, or not all cells are asked for.
    [[nodiscard]] const Plane<float>* levels_m() const { return whole_ ? &level_m_ : nullptr; }

private:
    void find_all_levels();

    const WayIn* way_in_ = nullptr;
    Window core_;
    int row_ = 0;
    Plane<float> level_m_; ///< NaN: not found yet
    bool whole_ = false;   ///< whether all of them have been
    bool always_ = false;  ///< whether a way leads to all yes cells of the row at every level
    AccessLevels::Workspace work_;
    std::vector<std::uint16_t> advice_; ///< of the row; empty: nobody looked
};

} // namespace swingroom
