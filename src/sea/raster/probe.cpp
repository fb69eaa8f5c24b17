#include "swingroom/sea/probe.hpp"

#include <algorithm>
#include <utility>

namespace swingroom {
namespace {

/// What coordinates without a CRS may be in; whatever is a place in degrees is one of these metres, too.
constexpr const char *degrees = "EPSG:4326", *metres = "EPSG:3857";

/// Says what was not said.
/// @returns whether that could help: no question is answered twice
bool answer(Setting question, BathymetryRequest& request) {
    const auto say = [](auto& stated, auto answer) {
        if (stated) return false;
        stated = std::move(answer);
        return true;
    };
    switch (question) {
    case Setting::crs:
        return say(request.crs, degrees);
    case Setting::positive:
        return say(request.positive_down, false);
    case Setting::depth_unit:
        return say(request.depth_unit, "m");
    case Setting::chart_datum:
        return say(request.chart_datum_m, 0.0);
    case Setting::uncertainty:
        return say(request.uncertainty, DepthUncertainty::none());
    default:
        return false; // which of several grids is meant nobody else can say
    }
}

} // namespace

bool Probed::asks(Setting setting) const {
    return std::any_of(questions.begin(), questions.end(),
                       [&](const UnsaidError& unsaid) { return unsaid.question() == setting; });
}

Probed probe(BathymetryRequest request) {
    Probed probed;
    for (bool answered = true; answered;) {
        answered = false;
        try {
            probed.source = open_bathymetry(request);
        } catch (const UnsaidError& unsaid) {
            probed.questions.push_back(unsaid);
            answered = answer(unsaid.question(), request);
        } catch (const InputError& error) {
            answered = probed.asks(Setting::crs) && request.crs == degrees;
            if (answered) request.crs = metres;
            if (!answered) probed.refusal = error;
        }
    }
    return probed;
}

} // namespace swingroom
