// share_out COAST BOAT THREADS PARTS OUT LAYERS...: what it costs to share a run out.
//
// Decides the raster that made_coast has made for each set of LAYERS, as --layers takes them: in one run,
// then in PARTS parts, whose folders are put together. Prints seconds of all processors of the run, of the
// parts together and of the merge, and the bytes of the folders; fails where a file of the merge is another
// than that of the run. Nobody looks for a way in.

#include "swingroom/boat/boat.hpp"
#include "swingroom/overlay/parts.hpp"
#include "swingroom/publish/overlay_files.hpp"
#include "swingroom/publish/part_files.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/georeference.hpp"

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <exception>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iostream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;
using namespace swingroom;

double of_processors(const std::function<void()>& work) {
    const std::clock_t from = std::clock();
    work();
    return static_cast<double>(std::clock() - from) / CLOCKS_PER_SEC;
}

fs::path emptied(const fs::path& folder) {
    fs::remove_all(folder);
    fs::create_directories(folder);
    return folder;
}

std::string bytes_of(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

/// Adds up the bytes of the files, and holds each against that of the same name in another folder, if any.
std::uintmax_t bytes_in(const fs::path& folder, const fs::path& same = {}) {
    std::uintmax_t bytes = 0;
    for (const fs::directory_entry& file : fs::directory_iterator(folder)) {
        bytes += file.file_size();
        const fs::path name = file.path().filename();
        if (!same.empty() && bytes_of(file.path()) != bytes_of(same / name)) {
            throw std::runtime_error(name.string() + " is another");
        }
    }
    return bytes;
}

struct Run {
    OverlayJob job;
    Outputs outputs;
    int parts = 1;
    fs::path out;

    void write(const fs::path& folder, const std::function<void(OverlayFiles&)>& decide) const {
        OverlayFiles files(folder, job, "coast", {}, {}, 100, {}, outputs);
        decide(files);
        files.finish({});
    }
    void whole() const {
        write(out / "whole", [&](OverlayFiles& files) { run_overlay(job, files, {}); });
    }
    [[nodiscard]] fs::path folder_of(int part) const { return out / ("part_" + std::to_string(part)); }
    void decide(int part) const {
        const BlockShare share = blocks_of_part(blocks_of_parts(job.window).count(), part, parts);
        PartFiles files(folder_of(part), job, outputs, share);
        run_part(job, share, files, {});
        files.finish();
    }
    void merge() const {
        std::vector<fs::path> folders;
        for (int part = 1; part <= parts; ++part) {
            folders.push_back(folder_of(part));
        }
        const KeptParts kept(folders, job, outputs);
        write(out / "merged", [&](OverlayFiles& files) {
            files.take_from(kept);
            merge_blocks(job, kept, files, {});
        });
    }
};

void measure(Run run, const std::string& layers) {
    run.job.wanted = LayerSet::parse(layers, "LAYERS");
    run.outputs.formats = LayerFormats(run.job.wanted);
    emptied(run.out / "whole");
    emptied(run.out / "merged");
    const double whole_s = of_processors([&] { run.whole(); });
    double parts_s = 0;
    std::uintmax_t parts_bytes = 0;
    for (int part = 1; part <= run.parts; ++part) {
        emptied(run.folder_of(part));
        parts_s += of_processors([&] { run.decide(part); });
        parts_bytes += bytes_in(run.folder_of(part));
    }
    const double merge_s = of_processors([&] { run.merge(); });
    const std::uintmax_t bytes = bytes_in(run.out / "merged", run.out / "whole");
    std::printf("run %.2f s, %ju MB; %d parts %.2f s (%.2f), %ju MB; merge %.2f s (%.2f)  %s\n", whole_s,
                bytes / 1000000, run.parts, parts_s, parts_s / whole_s, parts_bytes / 1000000, merge_s,
                merge_s / whole_s, layers.c_str());
}

void run(int argc, char** argv) {
    if (argc < 7) throw std::invalid_argument("usage: share_out COAST BOAT THREADS PARTS OUT LAYERS...");
    BathymetryRequest request;
    request.file = std::string(argv[1]) + "/bathymetry.tif";
    request.positive_down = false;
    request.chart_datum_m = 0;
    request.uncertainty = DepthUncertainty::constant(0.2);
    limit_file_cache(std::int64_t{64} << 20);
    const auto depths = open_bathymetry(request);
    const GroundMetric metric = ground_metric(depths->grid(), argv[1]);
    const HazardField hazards({}, depths->grid().extent(), metric);
    const TackleTables tables(read_boat_file(argv[2]), {{0.5, 2.5}, 15, 0}, 1);
    Run to_share;
    to_share.job.depths = depths.get();
    to_share.job.metric = &metric;
    to_share.job.hazards = &hazards;
    to_share.job.window = depths->grid().extent();
    to_share.job.tables = &tables;
    to_share.job.threads = std::stoi(argv[3]);
    to_share.parts = std::stoi(argv[4]);
    to_share.out = argv[5];
    for (int i = 6; i < argc; ++i) {
        measure(to_share, argv[i]);
    }
}

} // namespace

int main(int argc, char** argv) {
    try {
        run(argc, argv);
        return EXIT_SUCCESS;
    } catch (const std::exception& error) {
        std::cerr << error.what() << '\n';
        return EXIT_FAILURE;
    }
}
