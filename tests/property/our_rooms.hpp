#pragma once

#include "property/room_scene.hpp"

#include <cstdint>

namespace swingroom::testing_support {

/// Rooms up to the scene's reach, in metres, for one kind of danger: hazards burnt in blocks of `block` cells
/// and ground sizes by the program's own code, then the distance to the nearest unsafe cell by the words of
/// the definition. The one place where the tests of this folder learn what is to be held against the oracle.
Plane<float> our_rooms(const Scene& scene, Effects effect, int block);

/// How much less than the room by cells ours may be on this scene's grid, for a room of so many metres.
double our_loss_bound_m(const Scene& scene, double room_m);

} // namespace swingroom::testing_support
