// What parts of a run keep: the folder that is made of it against that of one run, byte for byte, and damage.

#include "swingroom/base/error.hpp"
#include "swingroom/publish/overlay_files.hpp"
#include "swingroom/publish/part_files.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/part/block_file.hpp"
#include "publish/part/kept_block.hpp"
#include "support/anchored_scene.hpp"
#include "support/overlay_scene.hpp"
#include "support/same_answers.hpp"
#include "support/way_scene.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <bit>
#include <cerrno>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <limits>
#include <map>
#include <stdexcept>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;
using testing::bytes_of;
using ::testing::HasSubstr;
using testing::put_file;
using testing::ScratchFolder;
using namespace testing_support;

std::map<std::string, std::string> files_of(const fs::path& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::directory_iterator(folder)) {
        files[entry.path().filename().string()] = bytes_of(entry.path());
    }
    return files;
}

/// What both runs tell besides their files.
struct Told {
    std::map<std::string, std::string> files;
    Tally tally;
    std::int64_t afloat = 0, zones = 0;
    std::size_t spots = 0;
    std::vector<AnchorageAnswers> anchorages;
    Plane<std::uint8_t> map_classes;
    Plane<float> map_depth_low_m;
};

Told told_by(OverlayFiles& files, const fs::path& folder) {
    files.finish({});
    files.drop_unasked();
    Told told{files_of(folder),
              files.tally(),
              files.cells_afloat(),
              files.zones_written(),
              files.spots_written(),
              files.anchorages(),
              {},
              {}};
    if (const MapPlanes* const map = files.map_planes()) {
        told.map_classes = map->classes();
        told.map_depth_low_m = map->depth_low_m();
    }
    return told;
}

constexpr std::size_t most_spots = 5;

Told run_whole(const OverlayJob& job, const Outputs& outputs) {
    const ScratchFolder folder;
    OverlayFiles files(folder.path(), job, "scene", {}, {}, most_spots, {}, outputs);
    run_overlay(job, files, {});
    return told_by(files, folder.path());
}

/// Decides a part into a folder.
void decide_part(const OverlayJob& job, const Outputs& outputs, int part, int parts, const fs::path& folder) {
    OverlayJob of_part = job;
    of_part.way_in = nullptr;
    const BlockShare share = blocks_of_part(blocks_of_parts(job.window).count(), part, parts);
    PartFiles files(folder, of_part, outputs, share);
    run_part(of_part, share, files, {});
    files.finish();
}

/// The folders of all parts of a run.
struct PartFolders {
    PartFolders(const OverlayJob& job, const Outputs& outputs, int parts) {
        for (int part = 1; part <= parts; ++part) {
            paths.push_back(scratch.path() / std::to_string(part));
            fs::create_directory(paths.back());
            decide_part(job, outputs, part, parts, paths.back());
        }
    }
    ScratchFolder scratch;
    std::vector<fs::path> paths;
};

Told run_in_parts(const OverlayJob& job, const Outputs& outputs, int parts) {
    const PartFolders folders(job, outputs, parts);
    const KeptParts kept(folders.paths, job, outputs);
    const ScratchFolder folder;
    OverlayFiles files(folder.path(), job, "scene", {}, {}, most_spots, {}, outputs);
    files.take_from(kept);
    merge_blocks(job, kept, files, {});
    return told_by(files, folder.path());
}

void expect_same(const Told& whole, const Told& merged) {
    ASSERT_EQ(whole.files.size(), merged.files.size());
    for (const auto& [name, bytes] : whole.files) {
        ASSERT_TRUE(merged.files.contains(name)) << name;
        ASSERT_TRUE(bytes == merged.files.at(name)) << name << " is another";
    }
    expect_same_tally(whole.tally, merged.tally);
    ASSERT_EQ(whole.afloat, merged.afloat);
    ASSERT_EQ(whole.zones, merged.zones);
    ASSERT_EQ(whole.spots, merged.spots);
    ASSERT_EQ(whole.anchorages.size(), merged.anchorages.size());
    for (std::size_t i = 0; i < whole.anchorages.size(); ++i) {
        ASSERT_EQ(whole.anchorages[i].label, merged.anchorages[i].label);
        expect_same_tally(whole.anchorages[i].tally, merged.anchorages[i].tally);
    }
    expect_same_plane(whole.map_classes, merged.map_classes);
    expect_same_plane(whole.map_depth_low_m, merged.map_depth_low_m);
}

Outputs outputs_of(LayerSet wanted, Compression compression = Compression::deflate) {
    Outputs outputs;
    outputs.formats = LayerFormats(wanted);
    outputs.compression = compression;
    return outputs;
}

/// A run of all layers in four blocks, with a way in that does not lead everywhere.
struct AllLayers {
    AllLayers() {
        add_anchorages(scene);
        looked = scene.job();
        way_in = way_from_the_middle(looked);
        job = looked;
        job.window = {7, 9, 1040, 530};
        job.threads = 2;
        job.wanted.add(Layer::access_level);
        job.way_in = &way_in;
    }
    OverlayScene scene = random_overlay_scene(5, 1080, 560);
    OverlayJob looked, job;
    WayIn way_in;
};

void expect_parts_make_the_folder(const OverlayJob& job, const Outputs& outputs,
                                  const std::vector<int>& numbers_of_parts) {
    const Told whole = run_whole(job, outputs);
    ASSERT_GT(whole.zones, 0);
    ASSERT_GT(whole.spots, 0U);
    ASSERT_EQ(whole.anchorages.size(), 3U);
    ASSERT_GT(whole.map_classes.size(), 0U);
    for (const int parts : numbers_of_parts) {
        SCOPED_TRACE(std::to_string(parts) + " parts");
        expect_same(whole, run_in_parts(job, outputs, parts));
        if (::testing::Test::HasFatalFailure()) return;
    }
}

TEST(PartFolder, OfAllPartsIsThatOfOneRun) {
    const AllLayers run;
    expect_parts_make_the_folder(run.job, outputs_of(run.job.wanted), {1, 7});
}

TEST(PartFolder, IsThatOfOneRunWhereNobodyLookedForAWayIn) {
    AllLayers run;
    run.job.way_in = nullptr;
    expect_parts_make_the_folder(run.job, outputs_of(run.job.wanted), {3});
}

TEST(PartFolder, IsThatOfOneRunWhereTheWayInIsNotKnown) {
    AllLayers run;
    run.way_in.access.reset();
    expect_parts_make_the_folder(run.job, outputs_of(run.job.wanted), {2});
}

TEST(PartFolder, IsThatOfOneRunByZstdToo) {
    if (!is_at_hand(Compression::zstd)) GTEST_SKIP() << "this GDAL has no such compression";
    const AllLayers run;
    expect_parts_make_the_folder(run.job, outputs_of(run.job.wanted, Compression::zstd), {3});
}

/// A small run of four blocks.
struct SmallRun {
    explicit SmallRun(const char* layers = "verdict,spare,map,zones")
        : scene(random_overlay_scene(5, 1030, 530)), job(scene.job()) {
        job.wanted = LayerSet::parse(layers, "layers");
        outputs = outputs_of(job.wanted);
    }
    OverlayScene scene;
    OverlayJob job;
    Outputs outputs;
};

TEST(PartFiles, OfFewLayersMakeTheFolderOfOneRunToo) {
    for (const char* const layers : {"verdict", "hull_room", "map", "spots", "advice,reasons"}) {
        SCOPED_TRACE(layers);
        const SmallRun run(layers);
        expect_same(run_whole(run.job, run.outputs), run_in_parts(run.job, run.outputs, 2));
    }
}

TEST(PartFiles, HaveTheSameBytesForAnyThreadsAndWhateverWaitsInMemory) {
    SmallRun run;
    std::vector<std::string> bytes;
    for (const auto& [threads, waiting] :
         {std::pair(1, std::size_t{1} << 30), std::pair(4, std::size_t{1} << 30),
          std::pair(4, std::size_t{0})}) {
        run.job.threads = threads;
        run.outputs.waiting_bytes = waiting;
        const ScratchFolder folder;
        decide_part(run.job, run.outputs, 1, 1, folder.path());
        bytes.push_back(bytes_of(folder.path() / blocks_file));
    }
    EXPECT_TRUE(bytes[0] == bytes[1]);
    EXPECT_TRUE(bytes[0] == bytes[2]);
}

// In the reverse of their order, so that all but one wait.
TEST(PartFiles, TakeBlocksInAnyOrder) {
    for (const std::size_t in_memory : {std::size_t{1} << 20, std::size_t{30}}) {
        const ScratchFolder folder;
        const fs::path path = folder.path() / blocks_file;
        const BlockShare share{10, 20};
        const auto record = [](std::size_t number) {
            return BlockRecord{std::vector<std::uint8_t>(number, 1),
                               std::vector<std::uint8_t>(2 * number, static_cast<std::uint8_t>(number))};
        };
        BlockFileWriter writer(path, {share, {1, 2, 3}}, {folder.path(), in_memory});
        for (std::size_t number = share.end; number-- > share.first;) {
            writer.put(number, record(number));
        }
        writer.finish();
        const BlockFileReader reader(path);
        EXPECT_EQ(reader.terms().share, share);
        EXPECT_EQ(reader.terms().run, (std::vector<std::uint8_t>{1, 2, 3}));
        for (std::size_t number = share.first; number < share.end; ++number) {
            EXPECT_EQ(reader.runs(number), record(number).runs);
            EXPECT_EQ(reader.answers(number), record(number).answers);
        }
    }
}

TEST(PartFiles, RefuseABlockOfAnotherPart) {
    const ScratchFolder folder;
    BlockFileWriter writer(folder.path() / blocks_file, {{3, 5}, {}}, {folder.path(), 100});
    EXPECT_THROW(writer.put(2, {}), std::logic_error);
    EXPECT_THROW(writer.put(5, {}), std::logic_error);
    EXPECT_THROW(writer.finish(), std::logic_error) << "two blocks are missing";
}

/// Reads all that is kept.
void read_all(const std::vector<fs::path>& folders, const SmallRun& run) {
    const KeptParts kept(folders, run.job, run.outputs);
    for (std::size_t number = 0; number < blocks_of_parts(run.job.window).count(); ++number) {
        BlockRuns runs;
        kept.runs(number, runs);
        (void)kept.block(number);
    }
}

TEST(KeptParts, RefuseAFileInWhichOneBitIsAnother) {
    const SmallRun run;
    const PartFolders folders(run.job, run.outputs, 1);
    const fs::path file = folders.paths.front() / blocks_file;
    const std::string whole = bytes_of(file);
    ASSERT_NO_THROW(read_all(folders.paths, run));
    const std::size_t near_ends = 200;
    for (std::size_t at = 0; at < whole.size();
         at += at < near_ends || at + near_ends > whole.size() ? 1 : whole.size() / 97) {
        std::string flipped = whole;
        flipped[at] = static_cast<char>(flipped[at] ^ (1 << at % 8));
        put_file(file, flipped);
        try {
            read_all(folders.paths, run);
            FAIL() << "byte " << at << " of " << whole.size();
        } catch (const IoError& failure) {
            EXPECT_THAT(failure.what(), HasSubstr(file.string()));
        } catch (const InputError& failure) { // what makes it a file of blocks, and of this version
            EXPECT_LT(at, 12U) << failure.what();
            EXPECT_THAT(failure.what(), HasSubstr(file.string()));
        }
    }
}

TEST(KeptParts, RefuseAFileThatIsCutOffOrGoesOn) {
    const SmallRun run;
    const PartFolders folders(run.job, run.outputs, 1);
    const fs::path file = folders.paths.front() / blocks_file;
    const std::string whole = bytes_of(file);
    for (std::size_t length = 16; length < whole.size();
         length += length < 200 || length + 100 > whole.size() ? 1 : whole.size() / 61) {
        put_file(file, whole.substr(0, length));
        EXPECT_THROW(read_all(folders.paths, run), IoError) << length << " bytes of " << whole.size();
    }
    put_file(file, whole + '\0');
    EXPECT_THROW(read_all(folders.paths, run), IoError);
    put_file(file, "");
    EXPECT_THROW(read_all(folders.paths, run), InputError);
}

std::string refusal(const std::vector<fs::path>& folders, const OverlayJob& job, const Outputs& outputs) {
    try {
        const KeptParts kept(folders, job, outputs);
    } catch (const InputError& refused) {
        return refused.what();
    }
    return "nothing is wrong";
}

TEST(KeptParts, RefuseWhatIsNotOfTheRun) {
    const SmallRun run;
    const PartFolders folders(run.job, run.outputs, 2);
    const fs::path &one = folders.paths[0], &two = folders.paths[1];
    EXPECT_EQ(refusal({one, two}, run.job, run.outputs), "nothing is wrong");
    EXPECT_THAT(refusal({two, one}, run.job, run.outputs),
                HasSubstr("holds blocks 3 to 4, and part 1 of 2 has blocks 1 to 2"));
    EXPECT_THAT(refusal({one}, run.job, run.outputs), HasSubstr("part 1 of 1 has blocks 1 to 4"));
    EXPECT_THAT(refusal({one, one}, run.job, run.outputs), HasSubstr("part 2 of 2"));
    EXPECT_THAT(refusal({}, run.job, run.outputs), HasSubstr("there are none"));
    EXPECT_THAT(refusal({one, two / "elsewhere"}, run.job, run.outputs), HasSubstr("cannot be found"));

    OverlayJob elsewhere = run.job;
    elsewhere.window.cols -= 1;
    EXPECT_THAT(refusal({one, two}, elsewhere, run.outputs), HasSubstr("of another run"));
    const SmallRun fewer("verdict,map,zones");
    EXPECT_THAT(refusal({one, two}, fewer.job, fewer.outputs), HasSubstr("of another run"));
    if (is_at_hand(Compression::zstd)) {
        EXPECT_THAT(refusal({one, two}, run.job, outputs_of(run.job.wanted, Compression::zstd)),
                    HasSubstr("of another run"));
    }

    put_file(two / blocks_file, "II*, which is another kind of file");
    EXPECT_THAT(refusal({one, two}, run.job, run.outputs), HasSubstr("is no file of a part of a run"));
    std::string later = bytes_of(one / blocks_file);
    later[8] = 77;
    put_file(one / blocks_file, later);
    EXPECT_THAT(refusal({one, two}, run.job, run.outputs), HasSubstr("is of version 77"));
}

struct NoFault {
    ~NoFault() { guarded::plan_fault({}); }
};

TEST(PartFiles, TellOfEveryCallOfTheDiskThatFails) {
    const NoFault after;
    const SmallRun run("verdict");
    for (const guarded::Calls calls : {guarded::Calls::changes, guarded::Calls::reads}) {
        std::int64_t failed = 0;
        for (bool passed = false; !passed;) {
            const ScratchFolder folder;
            guarded::plan_fault({failed + 1, EIO, false, calls});
            try {
                decide_part(run.job, run.outputs, 1, 1, folder.path());
                passed = true;
            } catch (const IoError& failure) {
                ++failed;
                EXPECT_THAT(failure.what(), HasSubstr(blocks_file));
                EXPECT_THAT(failure.what(), HasSubstr(guarded::reason_of(EIO)));
            }
            if (passed) {
                ASSERT_LE(guarded::calls_since_fault_planned(), failed) << "went unnoticed";
            }
            ASSERT_LT(failed, 1000);
        }
        EXPECT_GE(failed, 3) << "opening, writing and closing; opening, head, list, and blocks";
    }
}

TEST(KeptParts, TellOfEveryReadThatFails) {
    const NoFault after;
    const SmallRun run("verdict");
    const PartFolders folders(run.job, run.outputs, 1);
    std::int64_t failed = 0;
    for (bool passed = false; !passed;) {
        guarded::plan_fault({failed + 1, EIO, false, guarded::Calls::reads});
        try {
            read_all(folders.paths, run);
            passed = true;
        } catch (const IoError& failure) {
            ++failed;
            EXPECT_THAT(failure.what(), HasSubstr(guarded::reason_of(EIO)));
        }
        ASSERT_LT(failed, 1000);
    }
    EXPECT_EQ(guarded::calls_since_fault_planned(), failed) << "went unnoticed";
    EXPECT_GE(failed, 2 * (3 + 2 * 4))
        << "each time opening and reading: of three that tell of the blocks, of four blocks";
}

/// Of no kind that a run makes: all members are another from run to run, and some are not finite.
std::vector<Run> odd_runs(Window core, Dice& dice) {
    std::vector<Run> row;
    for (int col = core.col; col < core.col_end() - 8 && dice.chance(0.9);) {
        Run run;
        run.begin = col + dice.whole(0, 2);
        run.end = run.begin + dice.whole(1, 5);
        run.verdict = static_cast<Verdict>(dice.whole(2, 7));
        run.out_of_reach = dice.chance(0.5);
        ZoneFigures& f = run.figures;
        for (float* const of :
             {&f.depth_low_min_m, &f.depth_low_max_m, &f.depth_deep_max_m, &f.sounder_limit_min_m,
              &f.rode_min_m, &f.rode_max_m, &f.radius_min_m, &f.radius_max_m, &f.wind_limit_min_kn[0],
              &f.wind_limit_min_kn[1], &f.wind_limit_min_kn[2], &f.spare_max_m, &f.level_needed_max_m,
              &f.access_level_max_m}) {
            *of = dice.chance(0.1)   ? std::numeric_limits<float>::infinity()
                  : dice.chance(0.1) ? std::numeric_limits<float>::quiet_NaN()
                                     : static_cast<float>(dice.between(-1e6, 1e6));
        }
        f.advice = static_cast<std::uint16_t>(dice.whole(0, 65535));
        f.seabeds = static_cast<std::uint16_t>(dice.whole(0, 65535));
        f.ways = static_cast<std::uint8_t>(dice.whole(0, 7));
        f.plain_ways = static_cast<std::uint8_t>(dice.whole(0, 7));
        f.hardly_admitted = dice.chance(0.5);
        row.push_back(run);
        col = run.end;
    }
    return row;
}

bool same_bits(float a, float b) {
    return std::bit_cast<std::uint32_t>(a) == std::bit_cast<std::uint32_t>(b);
}

void expect_same_runs(const Run& a, const Run& b) {
    ASSERT_EQ(std::tie(a.begin, a.end, a.verdict, a.out_of_reach),
              std::tie(b.begin, b.end, b.verdict, b.out_of_reach));
    const ZoneFigures &f = a.figures, &g = b.figures;
    ASSERT_TRUE(same_bits(f.depth_low_min_m, g.depth_low_min_m));
    ASSERT_TRUE(same_bits(f.depth_low_max_m, g.depth_low_max_m));
    ASSERT_TRUE(same_bits(f.depth_deep_max_m, g.depth_deep_max_m));
    ASSERT_TRUE(same_bits(f.sounder_limit_min_m, g.sounder_limit_min_m));
    ASSERT_TRUE(same_bits(f.rode_min_m, g.rode_min_m));
    ASSERT_TRUE(same_bits(f.rode_max_m, g.rode_max_m));
    ASSERT_TRUE(same_bits(f.radius_min_m, g.radius_min_m));
    ASSERT_TRUE(same_bits(f.radius_max_m, g.radius_max_m));
    for (std::size_t way = 0; way < all_ways.size(); ++way) {
        ASSERT_TRUE(same_bits(f.wind_limit_min_kn[way], g.wind_limit_min_kn[way]));
    }
    ASSERT_TRUE(same_bits(f.spare_max_m, g.spare_max_m));
    ASSERT_TRUE(same_bits(f.level_needed_max_m, g.level_needed_max_m));
    ASSERT_TRUE(same_bits(f.access_level_max_m, g.access_level_max_m));
    ASSERT_EQ(std::tie(f.advice, f.seabeds, f.ways, f.plain_ways, f.hardly_admitted),
              std::tie(g.advice, g.seabeds, g.ways, g.plain_ways, g.hardly_admitted));
}

TEST(KeptRuns, ComeBackToTheLastBit) {
    Dice dice(3);
    const Window core{1000, 40, 300, 20};
    BlockRuns runs(20);
    for (auto& row : runs) {
        row = odd_runs(core, dice);
    }
    const std::vector<std::uint8_t> bytes = packed(runs);
    const BlockRuns back = unpacked_runs(bytes, {core, core, 0, 0, "runs"});
    ASSERT_EQ(back.size(), runs.size());
    for (std::size_t row = 0; row < runs.size(); ++row) {
        ASSERT_EQ(back[row].size(), runs[row].size());
        for (std::size_t i = 0; i < runs[row].size(); ++i) {
            expect_same_runs(runs[row][i], back[row][i]);
            if (HasFatalFailure()) return;
        }
    }
    const Window elsewhere{0, 40, 300, 20}, smaller{1000, 40, 300, 19};
    EXPECT_THROW((void)unpacked_runs(bytes, {elsewhere, core, 0, 0, "runs"}), IoError);
    EXPECT_THROW((void)unpacked_runs(bytes, {smaller, core, 0, 0, "runs"}), IoError);
}

} // namespace
} // namespace swingroom
