#include "swingroom/report/boat_facts.hpp"

#include "swingroom/base/fact.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/boat/gear.hpp"

#include <algorithm>
#include <cmath>

namespace swingroom {
namespace {

/// The facts as they are gathered.
class Assumptions {
public:
    explicit Assumptions(const Boat& boat) : boat_(boat) {}

    [[nodiscard]] bool given(const std::string& key) const {
        return std::any_of(boat_.as_read.begin(), boat_.as_read.end(),
                           [&key](const auto& read) { return read.first == key; });
    }
    void add(const std::string& name, const std::string& value) {
        facts_.push_back(assumed_fact(name, value));
    }
    /// Only where the file does not have that key.
    void unless_given(const std::string& key, const std::string& value) {
        if (!given(key)) add(key, value);
    }
    std::vector<Fact> take() { return std::move(facts_); }

private:
    const Boat& boat_;
    std::vector<Fact> facts_;
};

std::string metres(double value) { return fixed(value, 2) + " m"; }

void add_policy(const Boat& boat, Assumptions& facts) {
    const Policy& policy = boat.policy;
    facts.unless_given("policy.scope", fixed(policy.scope, 2));
    facts.unless_given("policy.short_scope", fixed(policy.short_scope, 2));
    facts.unless_given("policy.pull_angle", fixed(policy.pull_angle_deg, 1) + " degrees");
    facts.unless_given("policy.under_keel", metres(policy.under_keel_m));
    facts.unless_given("policy.wave_height", metres(policy.wave_height_m));
    facts.unless_given("policy.position_allowance", metres(policy.position_allowance_m));
    facts.unless_given("policy.set_distance", metres(policy.set_distance_m));
    facts.unless_given("policy.max_slope", "no limit");
    facts.unless_given("windlass.rated_pull", "no limit");
    facts.unless_given("crew.recovery_depth", "no limit");
    facts.unless_given("hull.tender", "none");
}

void add_loads(const Boat& boat, const Conditions& conditions, Assumptions& facts) {
    if (!boat.load_table.empty()) {
        facts.add("loads", "the boat file's own table, gusts in it");
    } else if (boat.hull.windage_area_m2 > 0) {
        facts.add("loads",
                  "drag on the windage area, gusts " + fixed(boat.policy.gust, 2) + " times the mean wind");
        facts.unless_given("policy.gust", fixed(boat.policy.gust, 2));
        facts.unless_given("hull.drag_coefficient", fixed(boat.hull.drag_coefficient, 2));
    } else {
        facts.add("loads", std::string("small-craft table by length") +
                               (boat.hull.beam_m > 0 ? " and beam" : "") +
                               ", gusts and surge in it and none added");
        facts.unless_given("hull.kind", boat.hull.kind == HullKind::power ? "power" : "sail");
    }
    if (conditions.current_kn > 0) {
        facts.unless_given("hull.wetted_area", "estimated from length, beam and draught");
    }
}

void add_rode(const Boat& boat, Assumptions& facts) {
    const Rode& rode = boat.rode;
    facts.unless_given("rode.mark", metres(rode.mark_m));
    if (rode.chain_m > 0) {
        facts.unless_given("rode.chain_mass",
                           fixed(rode.chain_kg_per_m, 2) + " kg/m, from the table of " +
                               (rode.chain_standard == ChainStandard::iso_4565 ? "ISO 4565" : "DIN 766"));
    }
    if (rode.rope_m > 0) {
        facts.unless_given("rode.rope_mass",
                           fixed(rode.rope_kg_per_m, 3) + " kg/m, estimated from the diameter");
        if (!facts.given("rode.rope_stiffness")) {
            facts.unless_given("rode.rope_make", "laid");
            facts.add("rode.rope_stiffness", fixed(rode.rope_stiffness_n, 0) +
                                                 " N, estimated from diameter and make; for the angle " +
                                                 fixed(rode.rope_stiffest_n, 0) + " N, that of braided rope");
        }
    }
    if (boat.sinker) {
        facts.unless_given("sinker.material",
                           "steel, " + fixed(boat.sinker->density_kg_per_m3, 0) + " kg/m3");
        facts.unless_given("sinker.at", fixed(boat.sinker->at_value, 2) + " spans");
    }
}

/// Where a holding comes from that is not the user's own. See complete_holding().
std::string origin(const Anchor& anchor, Seabed seabed, double holding_n) {
    const auto same = [holding_n](const std::optional<double>& other_n) {
        return other_n && std::abs(*other_n - holding_n) <= 1e-9 * holding_n;
    };
    if (seabed == Seabed::unknown) return "the least that is known of ground an anchor holds in";
    const auto factor = soil_factor(seabed);
    if (factor && *factor <= 0) return "holds nothing unless the boat file says otherwise";
    if (same(published_holding_n(anchor.type, anchor.mass_kg, seabed))) return "published law";
    const auto sand_n = published_holding_n(anchor.type, anchor.mass_kg, Seabed::sand);
    if (factor && sand_n && same(*sand_n * *factor)) {
        return "published law for sand, soil factor " + fixed(*factor, 2);
    }
    return "carried from the boat file's own numbers by soil factors, never upwards";
}

void add_holdings(const Boat& boat, Assumptions& facts) {
    for (std::size_t i = 0; i < seabed_names.size(); ++i) {
        const std::string key = "anchor.holding." + std::string(seabed_names[i]);
        const auto& holding_n = boat.anchor.holding_n[i];
        facts.unless_given(key, holding_n ? fixed_down(*holding_n, 0) + " N, " +
                                                origin(boat.anchor, static_cast<Seabed>(i), *holding_n)
                                          : "not known");
    }
}

} // namespace

std::vector<Fact> boat_assumptions(const Boat& boat, const Conditions& conditions) {
    Assumptions facts(boat);
    add_policy(boat, facts);
    add_loads(boat, conditions, facts);
    add_rode(boat, facts);
    add_holdings(boat, facts);
    return facts.take();
}

std::vector<Fact> sounder_assumptions(const Boat& boat) {
    Assumptions facts(boat);
    facts.unless_given("sounder.error", metres(boat.sounder.error_m));
    facts.unless_given("sounder.to_roller", metres(boat.to_roller_m()) + ", her length");
    facts.unless_given("policy.level_error", metres(boat.policy.level_error_m));
    return facts.take();
}

} // namespace swingroom
