#include "sea/cells/enc_cells.hpp"

#include "swingroom/base/error.hpp"

#include "sea/cells/enc_file.hpp"
#include "sea/files/attributes.hpp"
#include "sea/files/days.hpp"
#include "sea/geometry/outline.hpp"
#include "sea/raster/vertical_datums.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace swingroom {
namespace {

/// HORDAT: WGS 84.
constexpr int wgs84 = 2;

int whole(const OGRFeature& feature, const char* field) {
    return static_cast<int>(number_of(feature, field).value_or(0));
}

/// When the water of an area of quality was measured, or else its source made; 0: it says neither.
int surveyed_on(const OGRFeature& quality) {
    const int measured = latest_day(text_of(quality, "SUREND"));
    return measured != 0 ? measured : latest_day(text_of(quality, "SORDAT"));
}

/// The two geometries joined; the first alone if they cannot be.
OwnedGeometry joined(OwnedGeometry a, const OGRGeometry& b) {
    const GdalMessages quiet;
    if (!a) return OwnedGeometry(b.clone());
    OwnedGeometry both(a->Union(&b));
    return both ? std::move(both) : std::move(a);
}

double area_of(const OGRGeometry& geometry) {
    double area = 0;
    const auto add = [&](const OGRGeometry& part) {
        if (wkbFlatten(part.getGeometryType()) == wkbPolygon) area += part.toPolygon()->get_Area();
    };
    if (OGR_GT_IsSubClassOf(geometry.getGeometryType(), wkbGeometryCollection)) {
        for (const OGRGeometry* part : *geometry.toGeometryCollection()) {
            add(*part);
        }
    } else {
        add(geometry);
    }
    return area;
}

} // namespace

Region::Region(OwnedGeometry geometry) : geometry_(std::move(geometry)) {
    if (!geometry_) return;
    geometry_->getEnvelope(&box_);
    prepared_.reset(OGRCreatePreparedGeometry(OGRGeometry::ToHandle(geometry_.get())));
}

bool Region::compares(const OGRGeometry& other, Predicate predicate) const {
    const GdalMessages quiet;
    const OwnedGeometry asked(other.clone());
    return predicate(prepared_.get(), OGRGeometry::ToHandle(asked.get())) != 0;
}

bool Region::meets(const OGRGeometry& other) const {
    OGREnvelope box;
    other.getEnvelope(&box);
    return geometry_ && box_.Intersects(box) && compares(other, OGRPreparedGeometryIntersects);
}

bool Region::holds(const OGRGeometry& other) const {
    OGREnvelope box;
    other.getEnvelope(&box);
    return geometry_ && box_.Contains(box) && compares(other, OGRPreparedGeometryContains);
}

DepthUncertainty zone_uncertainty(int zone) {
    constexpr std::array letters = {"A1", "A2", "B", "C"};
    const auto slot = static_cast<std::size_t>(std::clamp(zone, 1, 4) - 1);
    return DepthUncertainty::parse(zone < 1 ? "C" : letters[slot], "zone of confidence");
}

double zone_position_m(int zone) {
    // A1 is 5 m + 5 % of the depth: of 60 m, deeper than anybody here lies.
    constexpr std::array half_widths_m = {8.0, 20.0, 50.0, 500.0};
    return zone < 1 ? 500 : half_widths_m[static_cast<std::size_t>(std::min(zone, 4) - 1)];
}

std::string vertical_datum_name(int code) {
    if (const auto name = vertical_datum(code)) return std::string(*name);
    return code == 0 ? "not stated" : "code " + std::to_string(code);
}

EncCell::EncCell(const VectorFile& file) : path_(file.path()), updates_(file.updates()) {
    const GdalMessages messages(is_loss_in_cell);
    GDALDataset& cell = file.dataset();
    const auto layer = [&](const char* name) {
        OGRLayer* const found = cell.GetLayerByName(name);
        if (found) found->ResetReading();
        return found;
    };
    if (OGRLayer* const headers = layer("DSID")) {
        if (const OGRFeatureUniquePtr header{headers->GetNextFeature()}) read_header(*header, path_);
    }
    judge_datums();
    file.each_feature([this](OGRLayer& of, OGRFeature& object) { read_meta_object(of.GetName(), object); });
    // Hardly any cell states one, and to read all pieces of geometry for it takes long.
    if (may_state_accuracies(path_)) {
        for (const char* name : {"IsolatedNode", "ConnectedNode", "Edge"}) {
            if (OGRLayer* const primitives = layer(name)) read_accuracies(*primitives);
        }
    }
    if (!covered_) {
        doubts_.emplace_back(
            "does not say what it covers (M_COVR): no depths can be taken from it, and it counts as "
            "covering nothing");
    }
    if (messages.failed()) throw IoError(path_, "cannot be read to its end (" + messages.failure() + ")");
}

void EncCell::read_header(OGRFeature& header, const std::string& path) {
    name_ = text_of(header, "DSID_DSNM");
    edition_ = text_of(header, "DSID_EDTN");
    update_ = text_of(header, "DSID_UPDN");
    issued_ = text_of(header, "DSID_ISDT");
    scale_ = whole(header, "DSPM_CSCL");
    usage_ = whole(header, "DSID_INTU");
    sounding_datum_ = whole(header, "DSPM_SDAT");
    height_datum_ = whole(header, "DSPM_VDAT");
    constexpr int metres = 1;
    for (const char* unit : {"DSPM_DUNI", "DSPM_HUNI", "DSPM_PUNI"}) {
        if (const int code = whole(header, unit); code != metres && code != 0) {
            throw InputError(path,
                             std::string("its depths, heights or accuracies are not in metres (") + unit +
                                 " is " + std::to_string(code) + ")",
                             "take an edition of the cell in metres");
        }
    }
    if (const int datum = whole(header, "DSPM_HDAT"); datum != wgs84 && datum != 0) {
        throw InputError(path, "its positions are not on WGS 84 (DSPM_HDAT is " + std::to_string(datum) + ")",
                         "take an edition on WGS 84: such positions can be off by hundreds of metres");
    }
    constexpr int degrees = 1;
    if (const int unit = whole(header, "DSPM_COUN"); unit != degrees && unit != 0) {
        throw InputError(path,
                         "its coordinates are not longitude and latitude (DSPM_COUN is " +
                             std::to_string(unit) + ")",
                         "take an edition with positions in degrees");
    }
}

/// Soundings that are not below a low water.
void EncCell::judge_datums() {
    constexpr std::array of_a_low_water = {1,  2,  4,  5,  6,  7,  8,  9,  10, 11,
                                           12, 13, 14, 15, 22, 23, 25, 27, 44};
    if (std::find(of_a_low_water.begin(), of_a_low_water.end(), sounding_datum_) == of_a_low_water.end()) {
        doubts_.push_back("its soundings are below " + vertical_datum_name(sounding_datum_) +
                          ", which is no low water: give water levels above that");
    }
}

void EncCell::read_meta_object(std::string_view object_class, const OGRFeature& object) {
    constexpr int has_data = 1;
    if (object_class == "M_COVR" && object.GetGeometryRef() && whole(object, "CATCOV") == has_data) {
        covered_ = joined(std::move(covered_), *object.GetGeometryRef());
    }
    if (object_class == "M_QUAL" && object.GetGeometryRef()) add_zone(object);
    if (object_class == "M_SDAT") read_datum(object, "M_SDAT", "VERDAT", sounding_datum_);
    if (object_class == "M_VDAT") read_datum(object, "M_VDAT", "VERDAT", height_datum_);
    if (object_class == "M_HDAT") read_datum(object, "M_HDAT", "HORDAT", wgs84);
}

void EncCell::read_datum(const OGRFeature& object, const char* object_class, const char* attribute,
                         int of_the_cell) {
    const Codes codes = codes_of(object, attribute);
    if (codes.values == std::vector{of_the_cell} || !codes.given) return;
    const std::string area =
        std::string("has an area (") + object_class + ") of another datum than the rest, ";
    const bool told = std::any_of(doubts_.begin(), doubts_.end(),
                                  [&](const std::string& doubt) { return doubt.starts_with(area); });
    if (!told) { // once for each class
        doubts_.push_back(area + attribute + " " + text_of(object, attribute) +
                          ", which is not taken into account");
    }
}

void EncCell::add_zone(const OGRFeature& quality) {
    const Codes codes = codes_of(quality, "CATZOC");
    const int code = codes.values.empty() ? zone_not_assessed : codes.values.front();
    zones_.push_back({Region(OwnedGeometry(quality.GetGeometryRef()->clone())),
                      code >= 1 && code <= zone_not_assessed ? code : zone_not_assessed,
                      surveyed_on(quality)});
    quality.GetGeometryRef()->getEnvelope(&zones_.back().box);
}

int EncCell::issued() const { return latest_day(issued_); }

OwnedGeometry EncCell::zones_joined() const {
    OGRMultiPolygon all;
    for (const Zone& zone : zones_) {
        if (wkbFlatten(zone.area.geometry()->getGeometryType()) == wkbPolygon) {
            all.addGeometry(zone.area.geometry());
        }
    }
    const GdalMessages quiet;
    return OwnedGeometry(all.UnionCascaded());
}

const Region& EncCell::assessed() const {
    if (!assessed_) assessed_.emplace(zones_joined());
    return *assessed_;
}

OwnedGeometry EncCell::outside_zones() const {
    Outline outline;
    outline.add(*covered_);
    for (const Zone& zone : zones_) {
        outline.take_out(*zone.area.geometry());
    }
    if (OwnedGeometry open = outline.polygons()) return open;
    const OwnedGeometry zones = zones_joined();
    const GdalMessages quiet;
    return OwnedGeometry(zones ? covered_->Difference(zones.get()) : nullptr);
}

const Region& EncCell::unassessed() const {
    if (unassessed_) return *unassessed_;
    Region& made = unassessed_.emplace();
    const GdalMessages quiet;
    OwnedGeometry open = covered_ && !zones_.empty() ? outside_zones() : nullptr;
    if (open) open.reset(open->Buffer(-seam_deg, 1));
    if (open && !open->IsEmpty()) made = Region(std::move(open));
    return made;
}

OwnedGeometry EncCell::unassessed(const Vicinity& near) const {
    if (!near.box()) {
        const OGRGeometry* const all = unassessed().geometry();
        return OwnedGeometry(all ? all->clone() : nullptr);
    }
    auto open = std::make_unique<OGRGeometryCollection>();
    for (const double turn : {-360.0, 0.0, 360.0}) {
        OGREnvelope box = *near.box();
        box.MinX += turn;
        box.MaxX += turn;
        if (OwnedGeometry part = unassessed_in(box)) open->addGeometryDirectly(part.release());
    }
    return open->IsEmpty() ? nullptr : OwnedGeometry(std::move(open));
}

OwnedGeometry EncCell::unassessed_in(const OGREnvelope& box) const {
    const GdalMessages quiet;
    bool has_zones = false;
    OwnedGeometry open(covered_ ? covered_->Intersection(box_of(box).get()) : nullptr);
    for (const Zone& zone : zones_) {
        if (wkbFlatten(zone.area.geometry()->getGeometryType()) != wkbPolygon) continue;
        has_zones = true;
        OGREnvelope of_zone;
        zone.area.geometry()->getEnvelope(&of_zone);
        if (!open || open->IsEmpty() || !of_zone.Intersects(box)) continue;
        if (OwnedGeometry rest{open->Difference(zone.area.geometry())}) open = std::move(rest);
    }
    if (!has_zones || !open || open->IsEmpty()) return nullptr;
    open.reset(open->Buffer(-seam_deg, 1));
    return open && !open->IsEmpty() ? std::move(open) : nullptr;
}

namespace {

// QUAPOS, IHO S-57 edition 3.1, appendix A, attribute 402: 1 surveyed, 2 unsurveyed, 3 inadequately surveyed,
// 4 approximate, 5 position doubtful, 6 unreliable, 7 reported (not surveyed), 8 reported (not confirmed),
// 9 estimated, 10 precisely known, 11 calculated.
constexpr int quality_unsurveyed = 2, quality_approximate = 4, quality_doubtful = 5, quality_estimated = 9;
/// RCNM of a node that stands by itself, S-57 part 3, 7.5.
constexpr int isolated_node = 110;

} // namespace

double quality_position_m(int quality) {
    // The definition of "approximate" says "generally considered to be within 30.5 metres" (from memory); of
    // the others nothing is published: common practice, no source.
    constexpr double approximate_m = 30.5, doubtful_m = 100;
    if (quality >= quality_doubtful && quality <= quality_estimated) return doubtful_m;
    return quality == quality_approximate ? approximate_m : 0;
}

void EncCell::read_accuracies(OGRLayer& primitives) {
    while (const OGRFeatureUniquePtr record{primitives.GetNextFeature()}) {
        const RecordName name(whole(*record, "RCNM"), whole(*record, "RCID"));
        const int quality = whole(*record, "QUAPOS");
        if (quality >= quality_unsurveyed && quality <= quality_estimated) qualities_[name] = quality;
        const auto stated_m = number_of(*record, "POSACC");
        // Of a contour or a coast the quality says how the line was drawn between what was measured; of a
        // point it says where the danger is.
        const double by_quality_m = name.first == isolated_node ? quality_position_m(quality) : 0;
        const double accuracy_m = stated_m && *stated_m > 0 ? *stated_m : by_quality_m;
        if (accuracy_m > 0) accuracies_m_[name] = accuracy_m;
    }
}

std::string EncCell::description() const {
    std::string text = (name_.empty() ? path_ : name_) + ", edition " + (edition_.empty() ? "?" : edition_);
    if (!update_.empty() && update_ != "0") text += ", update " + update_;
    if (!issued_.empty()) text += ", issued " + issued_;
    text += ", " + (scale_ > 0 ? "1:" + std::to_string(scale_) : std::string("no scale stated")) +
            ", soundings below " + vertical_datum_name(sounding_datum_) + ", heights above " +
            vertical_datum_name(height_datum_);
    return text;
}

bool EncCell::meets_unassessed(const OGRGeometry& geometry) const {
    if (unassessed_) return unassessed_->meets(geometry);
    // Around the geometry alone, with room for what is taken off the edges.
    OGREnvelope box;
    geometry.getEnvelope(&box);
    constexpr double around_deg = 0.001;
    box.MinX -= around_deg;
    box.MaxX += around_deg;
    box.MinY -= around_deg;
    box.MaxY += around_deg;
    return Region(unassessed_in(box)).meets(geometry);
}

int EncCell::zone_of(const OGRGeometry& geometry) const {
    int worst = 0;
    for (const Zone& zone : zones_) {
        if (zone.code > worst && zone.area.meets(geometry)) worst = zone.code;
    }
    if (worst == 0) return zone_not_assessed;
    // What lies within one zone lies in no place without one.
    if (std::any_of(zones_.begin(), zones_.end(),
                    [&](const Zone& zone) { return zone.area.holds(geometry); })) {
        return worst;
    }
    const bool partly_in_none = covered_ ? meets_unassessed(geometry) : !assessed().holds(geometry);
    return partly_in_none ? zone_not_assessed : worst;
}

int EncCell::zone_by_box(const OGRGeometry& geometry) const {
    OGREnvelope box;
    geometry.getEnvelope(&box);
    int worst = 0;
    for (const Zone& zone : zones_) {
        if (zone.box.Intersects(box)) worst = std::max(worst, zone.code);
    }
    return worst == 0 ? zone_not_assessed : worst;
}

std::map<int, double> EncCell::zone_shares() const {
    std::map<int, double> shares;
    if (!covered_) return shares;
    const double all = area_of(*covered_);
    if (!(all > 0)) return shares;
    double assessed = 0;
    const GdalMessages quiet;
    for (const Zone& zone : zones_) {
        const OwnedGeometry inside(zone.area.geometry()->Intersection(covered_.get()));
        const double share = inside ? area_of(*inside) / all : 0;
        shares[zone.code] += share;
        assessed += share;
    }
    if (assessed < 1 - 1e-6) shares[zone_not_assessed] += 1 - assessed;
    return shares;
}

namespace {

/// The greatest of what is known of the records that a feature is made of; 0 of none.
template <class Value>
Value greatest_of(const std::map<std::pair<int, int>, Value>& known, const OGRFeature& feature) {
    const int kinds = feature.GetFieldIndex("NAME_RCNM"), numbers = feature.GetFieldIndex("NAME_RCID");
    if (known.empty() || kinds < 0 || numbers < 0) return 0;
    int kind_count = 0, number_count = 0;
    const int* const kind = feature.GetFieldAsIntegerList(kinds, &kind_count);
    const int* const number = feature.GetFieldAsIntegerList(numbers, &number_count);
    Value greatest = 0;
    for (int i = 0; i < std::min(kind_count, number_count); ++i) {
        if (const auto found = known.find({kind[i], number[i]}); found != known.end()) {
            greatest = std::max(greatest, found->second);
        }
    }
    return greatest;
}

} // namespace

double EncCell::position_accuracy_m(const OGRFeature& feature) const {
    return greatest_of(accuracies_m_, feature);
}

int EncCell::position_quality(const OGRFeature& feature) const { return greatest_of(qualities_, feature); }

EncCells::EncCells(std::vector<std::shared_ptr<const EncCell>> cells) : cells_(std::move(cells)) {
    for (const auto& cell : cells_) {
        OwnedGeometry finer;
        for (const auto& other : cells_) {
            if (other->covered() && other->scale() > 0 && other->scale() < cell->scale()) {
                finer = joined(std::move(finer), *other->covered());
            }
        }
        finer_.emplace_back(std::move(finer));
        if (cell->covered()) covered_ = joined(std::move(covered_), *cell->covered());
    }
}

const EncCell* EncCells::of(const VectorFile& file) const {
    const auto found = std::find_if(cells_.begin(), cells_.end(),
                                    [&](const auto& cell) { return cell->path() == file.path(); });
    return found == cells_.end() ? nullptr : found->get();
}

const Region& EncCells::finer_than(const EncCell& cell) const {
    const auto place =
        std::find_if(cells_.begin(), cells_.end(), [&](const auto& known) { return known.get() == &cell; });
    return finer_[static_cast<std::size_t>(place - cells_.begin())];
}

OwnedGeometry EncCells::clipped_by_scale(const EncCell& cell, const OGRGeometry& geometry) const {
    return without(geometry, finer_than(cell));
}

OwnedGeometry without(const OGRGeometry& geometry, const Region& finer) {
    if (!finer.meets(geometry)) return OwnedGeometry(geometry.clone());
    const GdalMessages quiet;
    OwnedGeometry rest(geometry.Difference(finer.geometry()));
    if (!rest) return OwnedGeometry(geometry.clone());
    return rest->IsEmpty() ? nullptr : std::move(rest);
}

} // namespace swingroom
