#include "overlay/block_gatherer.hpp"

#include "room/vectorised.hpp"

#include <algorithm>
#include <cmath>

namespace swingroom {
namespace {

/// By unsafe::ground cells without a depth or with a danger to anchor and chain.
SWINGROOM_VECTORISED void mark_ground_unsafe(const float* shoal_m, const float* deep_m,
                                             const Effects* effects, std::size_t cells, std::uint8_t* marks) {
    for (std::size_t i = 0; i < cells; ++i) {
        const int known = shoal_m[i] <= deep_m[i] ? 1 : 0, // not so where a side is NaN
            danger = (effects[i] & effect::ground) != 0 ? 1 : 0;
        marks[i] = static_cast<std::uint8_t>((1 - (known & (1 - danger))) * unsafe::ground);
    }
}

} // namespace

void Gathered::find_ground_room(const RoomTransform& transform, Plane<float>& room_m) {
    if (ground_room_m_ == &room_m && ground_reach_m_ == transform.reach_m()) return;
    room_m.reshape(core);
    transform.run(ground_unsafe, unsafe::ground, room_m);
    ground_room_m_ = &room_m;
    ground_reach_m_ = transform.reach_m();
}

WaterLevels Gathered::water_at(int col, int row, WaterLevels of_tables) const {
    if (levels.rise_m.size() == 0) return of_tables;
    const auto rise_m = double{levels.rise_m.at(col, row)};
    of_tables.low_m += rise_m;
    of_tables.high_m += rise_m + double{levels.excess_m.at(col, row)};
    return of_tables;
}

Effects BlockGatherer::on_any_hull(const Hazard& hazard) {
    return hull_decides(hazard) ? static_cast<Effects>(hazard.effects & ~effect::hull) : hazard.effects;
}

BlockGatherer::BlockGatherer(const SeaView& sea, int halo) : sea_(sea), halo_(halo) {
    for (const Hazard& hazard : sea.hazards->hazards()) {
        effects_.push_back(on_any_hull(hazard));
    }
}

void BlockGatherer::gather(Window core, Gathered& into) const {
    const Window seen = grown(core, halo_);
    into.core = core;
    into.ground_room_m_ = nullptr;
    into.depths.banded.reset({});
    into.depths.differs.reset({});
    sea_.depths->read(seen, into.depths);
    into.chart_shoal_m.reset({});
    into.chart_deep_m.reset({});
    into.levels.rise_m.reset({});
    into.levels.excess_m.reset({});
    if (sea_.levels != nullptr) {
        into.chart_shoal_m = into.depths.shoal_m;
        into.chart_deep_m = into.depths.deep_m;
        sea_.levels->shift(into.depths, into.levels);
    }
    into.stepped = into.depths.banded;
    if (sea_.rode_by == RodeBy::survey) into.depths.banded.reset({});
    if (sea_.rode_by == RodeBy::sounder) into.depths.banded.reset(seen, 1);
    into.effects.reset(seen);
    sea_.hazards->burn(into.effects, effects_);
    for (std::size_t i = 0; i < into.depths.differs.size(); ++i) {
        if (into.depths.differs.data()[i] != 0) into.effects.data()[i] |= effect::depths_differ;
    }
    into.seabeds.reset(sea_.hazards->names_seabed() ? core : Window{}, SeabedSet(sea_.seabed));
    if (sea_.hazards->names_seabed()) sea_.hazards->burn_seabeds(into.seabeds);
    into.ground_unsafe.reshape(seen);
    mark_ground_unsafe(into.depths.shoal_m.data(), into.depths.deep_m.data(), into.effects.data(),
                       into.ground_unsafe.size(), into.ground_unsafe.data());
}

} // namespace swingroom
