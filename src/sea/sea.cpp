#include "swingroom/sea/sea.hpp"

#include "sea/sea_of_files.hpp"
#include "sea/sea_source.hpp"

#include <optional>
#include <utility>

namespace swingroom {

class SeaFiles::Kept : public KeptFiles {};

SeaFiles::SeaFiles() : kept_(std::make_unique<Kept>()) {}
SeaFiles::~SeaFiles() = default;
SeaFiles::SeaFiles(SeaFiles&&) noexcept = default;
SeaFiles& SeaFiles::operator=(SeaFiles&&) noexcept = default;
void SeaFiles::require_as_opened() const { kept_->require_as_opened(); }

Sea::Sea(SeaRequest request) : Sea(std::move(request), *std::make_unique<SeaFiles>()) {}
Sea::Sea(SeaRequest request, SeaFiles& files) : Sea(files.kept_->sea(std::move(request))) {}
Sea::Sea(std::shared_ptr<SeaSource> source) : source_(std::move(source)) {}
Sea::~Sea() = default;
Sea::Sea(Sea&&) noexcept = default;
Sea& Sea::operator=(Sea&&) noexcept = default;

const Grid& Sea::grid() const { return source_->grid(); }
const Georeference& Sea::georeference() const { return source_->georeference(); }
const std::string& Sea::source() const { return source_->sources().front(); }
const GroundMetric& Sea::metric() const { return source_->metric(); }
const std::vector<std::string>& Sea::sources() const { return source_->sources(); }
const std::vector<std::string>& Sea::depth_files() const { return source_->depth_files(); }
const std::vector<HazardRule>& Sea::rules() const { return source_->rules(); }
double Sea::greatest_uncertainty_m() const { return source_->greatest_uncertainty_m(); }
const ChartedDepths& Sea::charted() const { return source_->charted(); }

SeaPart Sea::part(Window window, double reach_m) const {
    const Window inside = common(window, grid().extent());
    SeaPart part;
    part.depths = source_->depths(inside, reach_m);
    static_cast<SeaHazards&>(part) = hazards(inside, reach_m);
    return part;
}

std::shared_ptr<const SeaPart> Sea::whole(double reach_m) const {
    std::optional<SeaSource::Whole>& kept = source_->whole();
    if (!kept || kept->reach_m != reach_m) {
        kept.reset(); // both at once would need twice the room
        kept = {reach_m, std::make_shared<const SeaPart>(part(grid().extent(), reach_m))};
    }
    return kept->part;
}

SeaHazards Sea::hazards(Window window, double reach_m) const {
    const Window inside = common(window, grid().extent());
    SeaHazards around;
    around.found = source_->hazards(inside, reach_m);
    around.hazards =
        std::make_unique<HazardField>(std::move(around.found.hazards), grid().extent(), metric(), inside);
    return around;
}

std::vector<PlaceName> Sea::place_names(Window window) const { return source_->place_names(window); }

std::vector<Inspection> Sea::inspections(const Measures& measures) const {
    return source_->inspections(measures);
}

} // namespace swingroom
