#include <cstdio>
#include <swingroom/base/version.hpp>
#include <swingroom/room/distance.hpp>
#include <swingroom/sea/hazards.hpp>

// Links something of the pure part and something that needs the format libraries.
int main() {
    const swingroom::RoomTransform transform(swingroom::GroundMetric::uniform(10, 2, 2), 20);
    std::printf("swingroom %.*s, halo %d, %zu rules\n", static_cast<int>(swingroom::version().size()),
                swingroom::version().data(), transform.halo(), swingroom::default_hazard_rules().size());
    return transform.halo() == 12 ? 0 : 1;
}
