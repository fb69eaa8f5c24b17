#include "publish/raster/layer_specs.hpp"

#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/palette.hpp"
#include "swingroom/room/verdict.hpp"

#include "base/text.hpp"

#include <array>
#include <bit>
#include <cstddef>
#include <span>
#include <utility>

namespace swingroom {
namespace {

/// As of spec_of().
using Names = std::vector<std::string>;

std::vector<Category> verdict_categories(const Names&) {
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

std::vector<std::pair<std::string, std::string>> bits_of(std::span<const BitName> names) {
    std::vector<std::pair<std::string, std::string>> bits;
    for (const BitName& name : names) {
        bits.emplace_back(std::to_string(std::countr_zero(name.bit)), std::string(name.sentence));
    }
    return bits;
}

/// The sources by their names. Colours of many classes cannot all be told apart: they come round again.
std::vector<Category> source_categories(const Names& sources) {
    constexpr std::array<std::array<std::uint8_t, 4>, 8> colours = {{{27, 120, 170, 255},
                                                                     {230, 159, 0, 255},
                                                                     {0, 158, 115, 255},
                                                                     {204, 121, 167, 255},
                                                                     {86, 180, 233, 255},
                                                                     {213, 94, 0, 255},
                                                                     {240, 228, 66, 255},
                                                                     {90, 60, 140, 255}}};
    std::vector<Category> categories{verdict_categories(sources).front()}; // 0 is unsurveyed here, too
    for (std::size_t i = 0; i < sources.size(); ++i) {
        categories.push_back(
            {static_cast<std::uint8_t>(i + 1), sources[i], colours.at(i % colours.size()), Hatch::none});
    }
    return categories;
}

/// None of the boats as a no is drawn, so many of them on their scale, and all else is unsurveyed.
std::vector<Category> boats_categories(const Names& boats) {
    const auto drawn = [](Verdict as, std::uint8_t value, std::string name) {
        const auto [red, green, blue] = look(as).colour;
        return Category{value, std::move(name), {red, green, blue, 255}, look(as).hatch};
    };
    std::vector<Category> categories{drawn(Verdict::no, 0, "none of the boats")};
    for (std::size_t count = 1; count <= boats.size(); ++count) {
        const auto [red, green, blue] = colour_of_boats(count, boats.size());
        std::string name = std::to_string(count) + " of " + std::to_string(boats.size()) + " boats";
        if (count == boats.size()) name = "all " + std::to_string(count) + " boats";
        categories.push_back(
            {static_cast<std::uint8_t>(count), std::move(name), {red, green, blue, 255}, Hatch::none});
    }
    categories.push_back(
        drawn(Verdict::unsurveyed, boats_yes_unsurveyed, std::string(phrase(Verdict::unsurveyed))));
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

/// How the values of a meaning are drawn or told: in the steps of a ramp, as classes, as bits with names.
struct ValueLook {
    CellMeaning meaning;
    const RampSteps* steps = nullptr;
    std::vector<Category> (*classes)(const Names&) = nullptr;
    std::span<const BitName> bits = {};
};

/// Of each meaning, in the order of the enumerators.
constexpr std::array<ValueLook, 12> value_looks = {
    {{.meaning = CellMeaning::verdict, .classes = verdict_categories},
     {.meaning = CellMeaning::source, .classes = source_categories},
     {.meaning = CellMeaning::reasons, .bits = reason_names},
     {.meaning = CellMeaning::advice, .bits = advice_names},
     {.meaning = CellMeaning::boats, .classes = boats_categories},
     {.meaning = CellMeaning::depth, .steps = &ramp_steps::depth_m},
     {.meaning = CellMeaning::room, .steps = &ramp_steps::room_m},
     {.meaning = CellMeaning::length, .steps = &ramp_steps::length_m},
     {.meaning = CellMeaning::spare, .steps = &ramp_steps::spare_m},
     {.meaning = CellMeaning::wind, .steps = &ramp_steps::wind_kn},
     {.meaning = CellMeaning::hours, .steps = &ramp_steps::hours},
     {.meaning = CellMeaning::level, .steps = &ramp_steps::level_m}}};

constexpr const ValueLook& look_of(CellMeaning meaning) {
    return value_looks.at(static_cast<std::size_t>(meaning));
}

/// Steps are for floats, classes for bytes, bits for bits, and a picture has colours.
constexpr bool each_raster_layer_has_a_look() {
    for (std::size_t i = 0; i < value_looks.size(); ++i) {
        if (static_cast<std::size_t>(value_looks[i].meaning) != i) return false;
    }
    for (const Layer layer : raster_layers) {
        const LayerTraits& row = traits(layer);
        const ValueLook& look = look_of(row.meaning);
        if ((look.steps != nullptr) != (row.type == CellType::float32)) return false;
        if ((look.classes != nullptr) != (row.type == CellType::uint8)) return false;
        if (look.bits.empty() != (row.worst != Worst::any_bit)) return false;
        if (row.content == Content::picture && !look.steps && !look.classes) return false;
    }
    return true;
}
static_assert(each_raster_layer_has_a_look(), "a layer of layer_table has no look in value_looks");

/// Takes out the values that nobody has who has not looked for a way in.
void leave_out_way_in(CellMeaning meaning, LayerSpec& spec) {
    if (meaning == CellMeaning::verdict) {
        std::erase_if(spec.categories, [](const Category& one) {
            return one.value == static_cast<std::uint8_t>(Verdict::out_of_reach);
        });
    } else if (meaning == CellMeaning::advice) {
        constexpr auto first = static_cast<std::ptrdiff_t>(std::countr_zero(advice::out_of_reach));
        spec.bits.erase(spec.bits.begin() + first, spec.bits.end());
    }
}

} // namespace

LayerSpec spec_of(Layer layer, const std::vector<std::string>& names, bool way_in) {
    const LayerTraits& row = traits(layer);
    const ValueLook& look = look_of(row.meaning);
    LayerSpec spec;
    spec.name = row.name;
    spec.description = description(layer);
    spec.type = row.type;
    spec.worst = row.worst;
    spec.unit = row.unit;
    if (look.steps) spec.steps = steps_of(*look.steps, spec.unit, spec.worst);
    if (look.classes) spec.categories = look.classes(names);
    spec.bits = bits_of(look.bits);
    if (!way_in) leave_out_way_in(row.meaning, spec);
    if (row.worst == Worst::greatest_or_none) spec.nodata = 0;
    if (row.worst == Worst::least_or_none) spec.nodata = boats_yes_unsurveyed;
    if (of_all_boats(layer)) spec.description += ". The boats: " + joined(names, ", ");
    return spec;
}

} // namespace swingroom
