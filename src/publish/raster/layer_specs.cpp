#include "publish/raster/layer_specs.hpp"

#include "swingroom/publish/palette.hpp"
#include "swingroom/room/verdict.hpp"

#include <array>
#include <bit>
#include <utility>

namespace swingroom {
namespace {

std::vector<Category> verdict_categories() {
    std::vector<Category> categories;
    for (const VerdictLook& look : verdict_looks) {
        const auto [red, green, blue] = look.colour;
        categories.push_back({static_cast<std::uint8_t>(look.verdict),
                              std::string(phrase(look.verdict)),
                              {red, green, blue, 255},
                              look.hatch});
    }
    return categories;
}

template <std::size_t N>
std::vector<std::pair<std::string, std::string>> bits_of(const std::array<BitName, N>& names) {
    std::vector<std::pair<std::string, std::string>> bits;
    for (const BitName& name : names)
        bits.emplace_back(std::to_string(std::countr_zero(name.bit)), std::string(name.sentence));
    return bits;
}

/// The sources by their names. Colours of many classes cannot all be told apart: they come round again.
std::vector<Category> source_categories(const std::vector<std::string>& sources) {
    constexpr std::array<std::array<std::uint8_t, 4>, 8> colours = {{{27, 120, 170, 255},
                                                                     {230, 159, 0, 255},
                                                                     {0, 158, 115, 255},
                                                                     {204, 121, 167, 255},
                                                                     {86, 180, 233, 255},
                                                                     {213, 94, 0, 255},
                                                                     {240, 228, 66, 255},
                                                                     {90, 60, 140, 255}}};
    std::vector<Category> categories{verdict_categories().front()}; // 0 is unsurveyed here, too
    for (std::size_t i = 0; i < sources.size(); ++i)
        categories.push_back(
            {static_cast<std::uint8_t>(i + 1), sources[i], colours.at(i % colours.size()), Hatch::none});
    return categories;
}

/// The steps that figures are drawn in. The darker end of the ramp is the worse one.
std::vector<Step> steps_of(const RampSteps& ends, const std::string& unit, Worst worst) {
    const auto figure = [](double end) { return std::to_string(static_cast<int>(end)); };
    std::vector<Step> steps;
    for (std::size_t i = 0; i < ends.size(); ++i) {
        const auto [red, green, blue] = ramp.at(worst == Worst::greatest ? ends.size() - 1 - i : i);
        const std::string range = i == 0                 ? "up to " + figure(ends[i])
                                  : i + 1 == ends.size() ? "over " + figure(ends[i - 1])
                                                         : figure(ends[i - 1]) + " to " + figure(ends[i]);
        steps.push_back({ends[i], range + " " + unit, {red, green, blue, 255}});
    }
    return steps;
}

} // namespace

LayerSpec spec_of(Layer layer, const std::vector<std::string>& sources) {
    LayerSpec spec;
    spec.name = name(layer);
    const auto floats = [&](std::string description, const RampSteps& ends, Worst worst,
                            const char* unit = "m") {
        spec.description = std::move(description);
        spec.unit = unit;
        spec.worst = worst;
        spec.steps = steps_of(ends, spec.unit, worst);
    };
    switch (layer) {
    case Layer::verdict:
        spec.description = "Whether the boat can lie here, and how";
        spec.type = CellType::uint8;
        spec.categories = verdict_categories();
        return spec;
    case Layer::source:
        spec.description = "What the depth of a cell is from";
        spec.type = CellType::uint8;
        spec.categories = source_categories(sources);
        spec.nodata = 0;
        // The finest come first, a chart last: an overview names the coarsest that it has anything from.
        spec.worst = Worst::greatest_or_none;
        return spec;
    case Layer::reasons:
        spec.description = "Everything that forbids, a bit each; the last twelve by way to lie";
        spec.type = CellType::uint32;
        spec.worst = Worst::any_bit;
        spec.bits = bits_of(reason_names);
        return spec;
    case Layer::advice:
        spec.description = "What to mind, a bit each; none forbids";
        spec.type = CellType::uint16;
        spec.worst = Worst::any_bit;
        spec.bits = bits_of(advice_names);
        return spec;
    case Layer::depth_low:
        floats("Least water at low water, in metres", ramp_steps::depth_m, Worst::least);
        return spec;
    case Layer::hull_room:
        floats("Room for the hull: distance to water that it must not meet, in metres; the greatest value "
               "stands for that or more",
               ramp_steps::room_m, Worst::least);
        return spec;
    case Layer::ground_room:
        floats("Room on the seabed: distance to what anchor and rode must not meet, in metres; the greatest "
               "value stands for that or more",
               ramp_steps::room_m, Worst::least);
        return spec;
    default:
        break;
    }
    for (const Way way : all_ways) {
        const std::string at = " at " + std::string(phrase(way));
        if (layer == of(Layer::rode_full, way))
            floats("Rode to veer" + at + ", in metres", ramp_steps::length_m, Worst::greatest);
        if (layer == of(Layer::radius_full, way))
            floats("Swinging radius" + at + ", in metres", ramp_steps::length_m, Worst::greatest);
        if (layer == of(Layer::spare_full, way))
            floats("Room less what is needed" + at + ", in metres; below zero is a no", ramp_steps::spare_m,
                   Worst::least);
        if (layer == of(Layer::wind_limit_full, way))
            floats("Greatest mean wind" + at +
                       " for which the room, the angle of pull and the holding are enough, in "
                       "knots",
                   ramp_steps::wind_kn, Worst::least, "kn");
    }
    return spec;
}

} // namespace swingroom
