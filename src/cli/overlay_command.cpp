#include "cli/overlay_command.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/chart/bathymetry.hpp"
#include "swingroom/chart/georeference.hpp"
#include "swingroom/chart/hazards.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include <algorithm>
#include <iostream>
#include <memory>
#include <thread>
#include <vector>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

std::string text(const po::variables_map& given, const char* name) {
    if (given.count(name) == 0)
        throw InputError(std::string("--") + name, "is not given", "give it on the command line");
    return given[name].as<std::string>();
}

BathymetryRequest bathymetry_request(const po::variables_map& given) {
    BathymetryRequest request;
    request.file = text(given, "bathymetry");
    if (given.count("positive") != 0) {
        const std::string positive = text(given, "positive");
        if (positive != "up" && positive != "down")
            throw InputError("--positive", "\"" + positive + "\" is neither", "give up or down");
        request.positive_down = positive == "down";
    }
    if (given.count("depth-unit") != 0) request.depth_unit = text(given, "depth-unit");
    if (given.count("chart-datum") != 0)
        request.chart_datum_m = parse_length(text(given, "chart-datum"), "--chart-datum").metres();
    if (given.count("uncertainty") != 0)
        request.uncertainty = DepthUncertainty::parse(text(given, "uncertainty"), "--uncertainty");
    if (given.count("crs") != 0) request.crs = text(given, "crs");
    return request;
}

/// The layers of one run, written as the answers come.
class LayerFiles : public OverlaySink {
public:
    LayerFiles(const std::filesystem::path& folder, const Grid& grid, const Provenance& provenance,
               int threads)
        : grid_(grid), georeference_(grid, "--bathymetry"),
          zones_(folder, "zones", "Connected areas of one verdict", VectorLayer::Shape::polygon, columns({}),
                 provenance, VectorLayer::Rounding::inwards) {
        const auto add = [&](std::string name, std::string description, CellType type, Worst worst,
                             std::string unit) {
            LayerSpec spec;
            spec.name = std::move(name);
            spec.description = std::move(description);
            spec.type = type;
            spec.worst = worst;
            spec.unit = std::move(unit);
            if (spec.name == "verdict")
                spec.categories = {{0, "unsurveyed", {128, 128, 128, 255}},
                                   {1, "no", {0x8c, 0x2d, 0x04, 255}},
                                   {2, "yes, at short scope with sinker", {0xec, 0x70, 0x14, 255}},
                                   {3, "yes, at short scope", {0x80, 0x7d, 0xba, 255}},
                                   {4, "yes, at full scope", {0x01, 0x66, 0x5e, 255}}};
            layers_.push_back(
                std::make_unique<RasterLayer>(folder, std::move(spec), grid, provenance, threads));
        };
        add("verdict", "Whether the boat can lie here, and how", CellType::uint8, Worst::least, "");
        add("reasons", "Everything that forbids, as bits", CellType::uint32, Worst::any_bit, "");
        add("advice", "Advice, as bits", CellType::uint16, Worst::any_bit, "");
        add("depth_low", "Least water at low water, in metres", CellType::float32, Worst::least, "m");
        add("hull_room", "Room for the hull, in metres", CellType::float32, Worst::least, "m");
        add("ground_room", "Room for anchor and rode on the seabed, in metres", CellType::float32,
            Worst::least, "m");
        for (const Way way : all_ways) {
            const std::string of = "_" + std::string(name(way));
            const std::string at = " at " + std::string(phrase(way)) + ", in metres";
            add("rode" + of, "Rode to veer" + at, CellType::float32, Worst::greatest, "m");
            add("radius" + of, "Swinging radius" + at, CellType::float32, Worst::greatest, "m");
            add("spare" + of, "Room less what is needed" + at, CellType::float32, Worst::least, "m");
        }
    }

    void block(const BlockAnswers& answers) override {
        std::size_t i = 0;
        layers_[i++]->write(answers.verdict);
        layers_[i++]->write(answers.reasons);
        layers_[i++]->write(answers.advice);
        layers_[i++]->write(answers.depth_low_m);
        layers_[i++]->write(answers.hull_room_m);
        layers_[i++]->write(answers.ground_room_m);
        for (std::size_t way = 0; way < all_ways.size(); ++way) {
            layers_[i++]->write(answers.rode_m[way]);
            layers_[i++]->write(answers.radius_m[way]);
            layers_[i++]->write(answers.spare_m[way]);
        }
    }

    void zone(Zone&& zone) override {
        auto rings = shrunk(zone.rings, 0.01, 0.01);
        for (auto& ring : rings)
            georeference_.to_lonlat_unwrapped(ring);
        zones_.add_polygon(rings, columns(zone));
    }

    void finish() {
        for (const auto& layer : layers_)
            layer->finish();
        zones_.finish();
    }

private:
    static std::vector<Property> columns(const Zone& zone) {
        const ZoneFigures& f = zone.figures;
        return {{"verdict", std::int64_t{static_cast<int>(zone.verdict)}, 0},
                {"meaning", std::string(phrase(zone.verdict)), 0},
                {"area_m2", zone.area_m2, 0},
                {"depth_low_min_m", static_cast<double>(f.depth_low_min_m), 2},
                {"depth_low_max_m", static_cast<double>(f.depth_low_max_m), 2},
                {"rode_max_m", static_cast<double>(f.rode_max_m), 1},
                {"radius_max_m", static_cast<double>(f.radius_max_m), 1},
                {"wind_limit_min_kn", static_cast<double>(f.wind_limit_min_kn), 0},
                {"best_spare_m", static_cast<double>(f.best_spare_m), 1}};
    }

    Grid grid_;
    Georeference georeference_;
    std::vector<std::unique_ptr<RasterLayer>> layers_;
    VectorLayer zones_;
};

} // namespace

void OverlayCommand::declare(po::options_description& options, po::positional_options_description&) {
    const auto one = [] { return po::value<std::string>(); };
    options.add_options()("bathymetry", one(), "bathymetry raster")("positive", one(), "up or down")(
        "depth-unit", one(), "unit of the raster's values")("chart-datum", one(),
                                                            "height of chart datum above the raster's datum")(
        "uncertainty", one(), "metres, a,b, a zone of confidence A1 A2 B C, or band")(
        "crs", one(), "CRS of a raster that names none")(
        "hazards", po::value<std::vector<std::string>>()->composing(),
        "vector file of hazards, repeatable")("rules", one(), "hazard rules; default: the built-in ones")(
        "boat", one(), "boat file")("low-water", one(), "lowest level above chart datum")(
        "high-water", one(), "highest level above chart datum")("wind", one(), "planned mean wind in knots")(
        "out", one(), "folder to make")("overwrite", po::bool_switch(),
                                        "replace a folder that a run has made")(
        "threads",
        po::value<int>()->default_value(static_cast<int>(std::max(1U, std::thread::hardware_concurrency()))),
        "threads")("plan", one(), "INI file with these options; the command line overrides it");
}

void OverlayCommand::accept(const po::variables_map& given) {
    given_ = given;
    if (given.count("plan") == 0) return;
    po::options_description options;
    po::positional_options_description positional;
    declare(options, positional);
    const std::string plan = text(given, "plan");
    try {
        po::store(po::parse_config_file(plan.c_str(), options), given_);
    } catch (const po::error& error) {
        throw InputError(plan, error.what(), "see swingroom overlay --help for the keys");
    }
}

int OverlayCommand::run() {
    Conditions conditions;
    conditions.water = {parse_length(text(given_, "low-water"), "--low-water").metres(),
                        parse_length(text(given_, "high-water"), "--high-water").metres()};
    if (conditions.water.high_m < conditions.water.low_m)
        throw InputError("--high-water", "lies below --low-water", "give both above chart datum");
    conditions.wind_kn = parse_speed(text(given_, "wind"), "--wind").knots();
    const Boat boat = read_boat_file(text(given_, "boat"));
    PendingFolder folder(text(given_, "out"), given_["overwrite"].as<bool>());
    const auto depths = open_bathymetry(bathymetry_request(given_));
    const Grid& grid = depths->grid();
    const GroundMetric metric = ground_metric(grid, text(given_, "bathymetry"));
    const auto rules =
        given_.count("rules") != 0 ? read_hazard_rules_file(text(given_, "rules")) : default_hazard_rules();
    std::vector<std::string> files;
    if (given_.count("hazards") != 0) files = given_["hazards"].as<std::vector<std::string>>();
    HazardSet hazards = read_hazards(files, rules, grid, metric);
    for (const std::string& warning : hazards.warnings)
        std::cerr << "swingroom: warning: " << warning << '\n';
    const HazardField field(std::move(hazards.hazards), grid.extent(), metric);
    const TackleTables tables(boat, conditions, depths->greatest_uncertainty_m());

    Provenance provenance;
    for (const std::string& file : depths->files())
        provenance.inputs.push_back(digest_of_file(file));
    for (const std::string& file : hazards.files)
        provenance.inputs.push_back(digest_of_file(file));
    provenance.inputs.push_back(digest_of_file(text(given_, "boat")));
    for (const std::string& assumption : depths->assumptions())
        provenance.facts.emplace_back("depths", assumption);
    for (const auto& [key, value] : boat.as_read)
        provenance.facts.emplace_back("boat " + key, value);
    for (const char* name : {"low-water", "high-water", "wind"})
        provenance.facts.emplace_back(name, text(given_, name));

    const int threads = std::max(1, given_["threads"].as<int>());
    LayerFiles layers(folder.working(), grid, provenance, threads);
    OverlayJob job;
    job.depths = depths.get();
    job.metric = &metric;
    job.hazards = &field;
    job.tables = &tables;
    job.window = grid.extent();
    job.threads = threads;
    run_overlay(job, layers, {});
    layers.finish();
    folder.commit(provenance);
    std::cout << "Layers are in " << folder.target().string() << '\n';
    return 0;
}

} // namespace swingroom::cli
