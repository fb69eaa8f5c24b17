#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/report/boat_report.hpp"
#include "swingroom/report/report.hpp"

#include <utility>

namespace swingroom {

ReportInput report_input(const TackleTables& tables, std::vector<Inspection> inspections,
                         const Provenance& provenance, const Measures& measures) {
    constexpr double usual_depth = -1;
    const BoatReport boat = boat_report(tables, usual_depth, measures);
    BoatParts parts = boat_parts(tables, boat, measures);
    ReportInput input;
    input.boat_name = tables.boat().name;
    input.boat_sentences = std::move(parts.sentences);
    input.boat_table = std::move(parts.depths);
    input.reading_table = std::move(parts.readings);
    input.sinker_table = std::move(parts.worth);
    if (has_picture(tables, boat.sinker_depth_m)) {
        input.rode_picture = boat_picture(tables, boat.sinker_depth_m, measures);
        input.rode_caption = "The rode in " + length_text(boat.sinker_depth_m, Rounded::nearest, measures) +
                             " below chart datum at low water, to scale" +
                             (tables.boat().sinker ? ", without and with the sinker." : ".");
    }
    input.conditions = tables.conditions();
    input.position_allowance_m = tables.boat().policy.position_allowance_m;
    input.required_depth_m = tables.boat().required_depth_m();
    input.inspections = std::move(inspections);
    input.provenance = provenance;
    input.measures = measures;
    input.marks = rode_marks(tables.boat());
    input.boat = tables.boat();
    return input;
}

} // namespace swingroom
