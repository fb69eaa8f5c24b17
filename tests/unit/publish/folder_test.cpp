#include "swingroom/base/error.hpp"
#include "swingroom/publish/file.hpp"
#include "swingroom/publish/folder.hpp"

#include "publish/folder/guarded_files.hpp"
#include "support/setting_words.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <cerrno>
#include <cstdint>
#include <string>
#include <thread>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;
using testing::bytes_of;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using testing::put_file;
using testing::ScratchFolder;

void make(const fs::path& target, const std::string& bytes, bool overwrite = false) {
    PendingFolder folder(target, overwrite);
    put_file(folder.working() / "layer.txt", bytes);
    folder.commit({"wind = 20\n", {}, {}});
}

std::string refusal(const fs::path& target, bool overwrite) {
    try {
        const PendingFolder folder(target, overwrite);
    } catch (const InputError& error) {
        return error.message().text(marked);
    }
    return "taken";
}

TEST(PendingFolder, AppearsWholeAndVerifies) {
    const ScratchFolder scratch;
    const fs::path target = scratch.path() / "run";
    {
        PendingFolder folder(target, false);
        put_file(folder.working() / "layer.txt", "one");
        EXPECT_FALSE(fs::exists(target));
        folder.commit({});
    }
    EXPECT_THAT(scratch.names(), ElementsAre("run"));
    EXPECT_EQ(bytes_of(target / "layer.txt"), "one");
    EXPECT_TRUE(verify_folder(target).empty());
}

TEST(PendingFolder, TheManifestHoldsNoClockAndNoPlace) {
    const ScratchFolder one, other;
    make(one.path() / "run", "x");
    make(other.path() / "another", "x");
    EXPECT_EQ(bytes_of(one.path() / "run/manifest.json"), bytes_of(other.path() / "another/manifest.json"));
}

TEST(PendingFolder, LeavesNothingUncommitted) {
    const ScratchFolder scratch;
    {
        const PendingFolder folder(scratch.path() / "run", false);
        put_file(folder.working() / "layer.txt", "one");
    }
    EXPECT_TRUE(scratch.names().empty());
}

TEST(PendingFolder, KeepsWhatExists) {
    const ScratchFolder scratch;
    make(scratch.path() / "run", "old");
    EXPECT_THAT(refusal(scratch.path() / "run", false), HasSubstr("<overwrite>"));
    EXPECT_THAT(refusal(scratch.path() / "run/", false), HasSubstr("exists already"));
    EXPECT_EQ(bytes_of(scratch.path() / "run/layer.txt"), "old");
    make(scratch.path() / "run", "new", true);
    EXPECT_EQ(bytes_of(scratch.path() / "run/layer.txt"), "new");
    EXPECT_THAT(scratch.names(), ElementsAre("run"));
}

TEST(PendingFolder, ReplacesOnlyItsOwnFolders) {
    const ScratchFolder scratch;
    fs::create_directory(scratch.path() / "photos");
    put_file(scratch.path() / "photos/boat.jpg", "x");
    EXPECT_THAT(refusal(scratch.path() / "photos", true), HasSubstr("not a folder made by this program"));
    put_file(scratch.path() / "photos/manifest.json", "{\"program\":\"other\",\"outputs\":[]}");
    EXPECT_THAT(refusal(scratch.path() / "photos", true), HasSubstr("not a manifest of this program"));
    make(scratch.path() / "run", "old");
    put_file(scratch.path() / "run/notes.txt", "mine");
    EXPECT_THAT(refusal(scratch.path() / "run", true), HasSubstr("notes.txt"));
    put_file(scratch.path() / "file", "x");
    EXPECT_THAT(refusal(scratch.path() / "file", true), HasSubstr("not a folder"));
    fs::create_directory(scratch.path() / "empty");
    make(scratch.path() / "empty", "new", true);
    EXPECT_EQ(bytes_of(scratch.path() / "empty/layer.txt"), "new");
}

TEST(PendingFolder, ReplacesWhatGdalsToolsLeaveBesideItsRasters) {
    const ScratchFolder scratch;
    const fs::path run = scratch.path() / "run";
    make(run, "old");
    put_file(run / "layer.txt.aux.xml", "statistics");
    put_file(run / "layer.txt.ovr", "overviews");
    EXPECT_THAT(verify_folder(run), ElementsAre(HasSubstr("layer.txt.aux.xml"), HasSubstr("layer.txt.ovr")));
    make(run, "new", true);
    EXPECT_TRUE(verify_folder(run).empty());
    put_file(run / "photo.jpg.aux.xml", "of another's");
    EXPECT_THAT(refusal(run, true), HasSubstr("photo.jpg.aux.xml"));
    fs::remove(run / "photo.jpg.aux.xml");
    fs::create_directory(run / "layer.txt.ovr");
    EXPECT_THAT(refusal(run, true), HasSubstr("layer.txt.ovr")) << "a folder may hold anything";
}

TEST(PendingFolder, StepsUpFromWhereALinkLeads) {
    const ScratchFolder scratch;
    fs::create_directories(scratch.path() / "far/away");
    fs::create_directory_symlink("far/away", scratch.path() / "link");
    make(scratch.path() / "link/../run", "x");
    EXPECT_TRUE(fs::exists(scratch.path() / "far/run/layer.txt")) << "as any other program takes that name";
    EXPECT_FALSE(fs::exists(scratch.path() / "run"));
    make(scratch.path() / "link/run/", "x");
    EXPECT_TRUE(fs::exists(scratch.path() / "far/away/run/layer.txt"));
    EXPECT_THAT(refusal(scratch.path() / "missing/../run", false), HasSubstr("does not exist"));
    EXPECT_THAT(refusal(scratch.path() / "far/away/..", true), HasSubstr("far is not a folder made by"));
}

TEST(PendingFolder, TellsAFullDiskByTheFolderThatWasAskedFor) {
    const ScratchFolder scratch;
    const fs::path target = scratch.path() / "run";
    const auto told = [&](std::int64_t at) -> std::string {
        try {
            guarded::plan_fault({at, ENOSPC, true});
            PendingFolder folder(target, false);
            guarded::Writer writer(folder.working() / "layer.txt");
            writer.write("x");
            writer.close();
            folder.commit({});
        } catch (const IoError& error) {
            guarded::plan_fault({});
            return error.message().text(marked);
        }
        guarded::plan_fault({});
        return "went well";
    };
    int failed = 0;
    for (std::int64_t at = 1;; ++at) {
        const std::string line = told(at);
        if (line == "went well") break;
        ++failed;
        SCOPED_TRACE(line);
        EXPECT_EQ(line.find(".part-"), std::string::npos) << "a hidden folder that is gone by now";
        EXPECT_THAT(line,
                    HasSubstr("No space left on device; free space there, or give a <folder> elsewhere"));
        EXPECT_THAT(line, HasSubstr(target.string()));
    }
    EXPECT_GT(failed, 5);
}

TEST(PendingFolder, FollowsNoLink) {
    const ScratchFolder scratch;
    make(scratch.path() / "run", "old");
    fs::create_directory_symlink("run", scratch.path() / "link");
    fs::create_directory_symlink("nowhere", scratch.path() / "dangling");
    EXPECT_THAT(refusal(scratch.path() / "link", true), HasSubstr("symbolic link"));
    EXPECT_THAT(refusal(scratch.path() / "dangling", false), HasSubstr("symbolic link"));
}

TEST(PendingFolder, NamesTheSettingWhenThePlaceIsWrong) {
    const ScratchFolder scratch;
    put_file(scratch.path() / "file", "x");
    EXPECT_THAT(refusal(scratch.path() / "missing/run", false), HasSubstr("<folder>: the folder"));
    EXPECT_THAT(refusal(scratch.path() / "file/run", false), HasSubstr("<folder>: "));
    EXPECT_THAT(refusal(scratch.path() / std::string(250, 'n'), false), HasSubstr("too long"));
    EXPECT_THAT(refusal(scratch.path() / "a\nb", false), HasSubstr("control character"));
    EXPECT_THAT(refusal("/", true), HasSubstr("<folder>: "));
    EXPECT_THAT(refusal("", false), HasSubstr("<folder>: "));
    EXPECT_THAT(refusal("/proc/run", false), HasSubstr("<folder>: ")) << "cannot be written, even by root";
}

TEST(PendingFolder, IsNotHinderedByLeftovers) {
    const ScratchFolder scratch;
    fs::create_directory(scratch.path() / ".run.part-abcdef");
    make(scratch.path() / "run", "x");
    EXPECT_TRUE(fs::exists(scratch.path() / ".run.part-abcdef")) << "another run may be at work there";
    EXPECT_TRUE(verify_folder(scratch.path() / "run").empty());
}

TEST(PendingFolder, NamesARunThatIsGoingOnAndLeavesItAlone) {
    const ScratchFolder scratch;
    PendingFolder first(scratch.path() / "run", false);
    put_file(first.working() / "layer.txt", "first");
    {
        const PendingFolder second(scratch.path() / "run", false);
        EXPECT_THAT(second.notes(), ElementsAre(::testing::AllOf(HasSubstr(first.working().string()),
                                                                 HasSubstr("is going on there"))));
        const PendingFolder elsewhere(scratch.path() / "run2", false);
        EXPECT_THAT(elsewhere.notes(), ::testing::IsEmpty());
    }
    first.commit({});
    EXPECT_THAT(scratch.names(), ElementsAre("run"));
    EXPECT_THAT(verify_folder(scratch.path() / "run"), ::testing::IsEmpty());
    EXPECT_FALSE(fs::exists(scratch.path() / "run/.lock"));
}

TEST(PendingFolder, RemovesWhatNobodyHoldsTheLockOf) {
    const ScratchFolder scratch;
    const fs::path left = scratch.path() / ".run.part-abcdef";
    fs::create_directory(left);
    put_file(left / ".lock", "");
    put_file(left / "verdict.tif", "half");
    {
        const PendingFolder folder(scratch.path() / "run", false);
        EXPECT_THAT(folder.notes(),
                    ElementsAre(::testing::AllOf(HasSubstr(left.string()), HasSubstr("has been removed"))));
        EXPECT_FALSE(fs::exists(left));
    }
    EXPECT_TRUE(scratch.names().empty());
}

TEST(PendingFolder, OnlyNamesWhatHasNoLock) {
    const ScratchFolder scratch;
    const fs::path left = scratch.path() / ".run.part-abcdef";
    fs::create_directory(left);
    put_file(left / "verdict.tif", "of a run of an older version, perhaps");
    fs::create_symlink("elsewhere", scratch.path() / ".run.part-ghijkl");
    const PendingFolder folder(scratch.path() / "run", false);
    EXPECT_THAT(folder.notes(),
                ElementsAre(::testing::AllOf(HasSubstr(left.string()), HasSubstr("remove it if none is"))));
    EXPECT_TRUE(fs::exists(left / "verdict.tif"));
}

TEST(PendingFolder, EmptiesNoFolderThatALinkOfSuchANameLeadsTo) {
    const ScratchFolder scratch;
    const fs::path other = scratch.path() / "precious";
    fs::create_directories(other / "sub");
    put_file(other / "data.txt", "somebody's");
    put_file(other / ".lock", "");
    fs::create_directory_symlink("precious", scratch.path() / ".run.part-abcdef");
    fs::create_directory(scratch.path() / ".run.part-ghijkl");
    ASSERT_EQ(::mkfifo((scratch.path() / ".run.part-ghijkl" / ".lock").c_str(), 0600), 0);
    const PendingFolder folder(scratch.path() / "run", false);
    EXPECT_THAT(folder.notes(), ElementsAre(HasSubstr(".run.part-ghijkl")));
    EXPECT_EQ(bytes_of(other / "data.txt"), "somebody's");
    EXPECT_TRUE(fs::exists(other / "sub"));
    EXPECT_TRUE(fs::is_symlink(scratch.path() / ".run.part-abcdef"));
    EXPECT_TRUE(fs::exists(scratch.path() / ".run.part-ghijkl"));
}

TEST(PendingFolder, ReplacesNoFolderThatHoldsAnInputByWhateverName) {
    const ScratchFolder scratch;
    const fs::path run = scratch.path() / "run";
    make(run, "an old answer");
    put_file(scratch.path() / "chart.tif", "depths");
    fs::create_symlink("run/layer.txt", scratch.path() / "soft.txt");
    fs::create_hard_link(run / "layer.txt", scratch.path() / "hard.txt");
    fs::create_directory_symlink("run", scratch.path() / "way");
    const auto told = [&](const fs::path& target, const std::string& input) -> std::string {
        try {
            const PendingFolder folder(target, true, {"missing", input});
            if (fs::is_directory(input)) folder.keep_inputs({input});
        } catch (const InputError& error) {
            return error.message().text(marked);
        }
        return "taken";
    };
    for (const char* name : {"run/layer.txt", "soft.txt", "hard.txt", "way/layer.txt", "run/manifest.json"}) {
        const std::string input = scratch / name;
        EXPECT_THAT(told(run, input), ::testing::AllOf(HasSubstr("<folder>: "), HasSubstr("holds " + input)))
            << name;
    }
    EXPECT_THAT(told(run, run.string()), HasSubstr("which is read"));
    EXPECT_THAT(told(scratch.path() / "new", scratch.path().string()), HasSubstr("lies in"));
    EXPECT_EQ(told(run, scratch / "chart.tif"), "taken");
    EXPECT_EQ(told(scratch.path() / "new", scratch / "chart.tif"), "taken");
    EXPECT_EQ(bytes_of(run / "layer.txt"), "an old answer");
}

TEST(PendingFolder, LooksForInputsAgainBeforeItReplaces) {
    const ScratchFolder scratch;
    const fs::path run = scratch.path() / "run";
    make(run, "depths");
    PendingFolder folder(run, true);
    EXPECT_THROW(folder.keep_inputs({(run / "layer.txt").string()}), InputError);
    const Provenance provenance{"", {digest_of_file((run / "layer.txt").string())}, {}};
    EXPECT_THROW(folder.commit(provenance), InputError);
    EXPECT_EQ(bytes_of(run / "layer.txt"), "depths");
}

TEST(PendingFile, IsWholeOrAsItWasWhicheverCallFails) {
    for (const bool overwrite : {false, true}) {
        const ScratchFolder scratch;
        const fs::path target = scratch.path() / "rode.svg";
        if (overwrite) put_file(target, "old");
        int failed = 0;
        for (std::int64_t at = 1;; ++at) {
            SCOPED_TRACE(at);
            guarded::plan_fault({at, ENOSPC, false});
            std::string told;
            try {
                PendingFile file(target, overwrite, Setting::picture, {});
                file.commit("<svg/>");
            } catch (const IoError& error) {
                told = error.message().text(marked);
            }
            const bool reached = guarded::calls_since_fault_planned() >= at;
            guarded::plan_fault({});
            if (told.empty()) {
                EXPECT_FALSE(reached) << "a failed call went unnoticed";
                break;
            }
            ++failed;
            EXPECT_THAT(told, HasSubstr(target.string()));
            EXPECT_THAT(
                told, HasSubstr("No space left on device; free space there, or give a <picture> elsewhere"));
            EXPECT_EQ(told.find(".part-"), std::string::npos) << told;
            if (overwrite) {
                ASSERT_EQ(bytes_of(target), "old");
                ASSERT_THAT(scratch.names(), ElementsAre("rode.svg"));
            } else {
                ASSERT_TRUE(scratch.names().empty());
            }
        }
        EXPECT_GT(failed, 6);
        EXPECT_EQ(bytes_of(target), "<svg/>");
        EXPECT_THAT(scratch.names(), ElementsAre("rode.svg"));
    }
}

TEST(PendingFolder, RefusesATargetThatAppearedMeanwhile) {
    const ScratchFolder scratch;
    PendingFolder folder(scratch.path() / "run", false);
    fs::create_directory(scratch.path() / "run");
    EXPECT_THROW(folder.commit({}), InputError);
    EXPECT_TRUE(fs::is_empty(scratch.path() / "run"));
}

TEST(PendingFolder, OneOfTenWins) {
    const ScratchFolder scratch;
    std::atomic<int> won(0), lost(0);
    {
        std::vector<std::jthread> runs;
        for (int i = 0; i < 10; ++i) {
            runs.emplace_back([&, i] {
                try {
                    PendingFolder folder(scratch.path() / "run", false);
                    put_file(folder.working() / "layer.txt", std::string(1000, static_cast<char>('a' + i)));
                    folder.commit({});
                    ++won;
                } catch (const InputError&) {
                    ++lost;
                }
            });
        }
    }
    EXPECT_EQ(won, 1);
    EXPECT_EQ(lost, 9);
    EXPECT_TRUE(verify_folder(scratch.path() / "run").empty());
    EXPECT_THAT(scratch.names(), ElementsAre("run"));
}

TEST(PendingFolder, NoticesAnInputThatChangedDuringTheRun) {
    const ScratchFolder scratch;
    const fs::path input = scratch.path() / "chart.tif";
    put_file(input, "before");
    PendingFolder folder(scratch.path() / "run", false);
    const Provenance provenance{"", {digest_of_file(input.string())}, {}};
    put_file(input, "after it");
    EXPECT_THROW(folder.commit(provenance), IoError);
    EXPECT_FALSE(fs::exists(scratch.path() / "run"));
}

TEST(VerifyFolder, FindsWhatIsWrong) {
    const ScratchFolder scratch;
    const fs::path run = scratch.path() / "run";
    make(run, "some bytes");
    put_file(run / "layer.txt", "some Bytes");
    EXPECT_THAT(verify_folder(run), ElementsAre("layer.txt: its digest is not the manifest's"));
    put_file(run / "layer.txt", "some");
    put_file(run / "extra", "x");
    EXPECT_THAT(verify_folder(run),
                ElementsAre("extra: is not in the manifest", HasSubstr("layer.txt: has 4 bytes")));
    fs::remove(run / "extra");
    fs::remove(run / "layer.txt");
    EXPECT_THAT(verify_folder(run), ElementsAre("layer.txt: is missing"));
    put_file(run / "manifest.json", bytes_of(run / "manifest.json").substr(0, 100));
    EXPECT_THAT(verify_folder(run), ElementsAre("manifest.json: is not JSON"));
    fs::remove(run / "manifest.json");
    EXPECT_THROW(verify_folder(run), InputError);
    EXPECT_THROW(verify_folder(scratch.path() / "none"), InputError);
}

TEST(VerifyFolder, NoticesAnyChangeOfTheManifestsOwnText) {
    const ScratchFolder scratch;
    const fs::path run = scratch.path() / "run", manifest = run / "manifest.json";
    make(run, "x");
    const std::string whole = bytes_of(manifest);
    for (std::size_t at = 0; at < whole.size(); ++at) {
        std::string changed = whole;
        changed[at] = static_cast<char>(changed[at] ^ 1);
        put_file(manifest, changed);
        ASSERT_FALSE(verify_folder(run).empty()) << "byte " << at << ": " << whole.substr(at, 20);
    }
    const auto said_of = [&](const std::string& text) {
        put_file(manifest, text);
        std::vector<std::string> notes;
        return std::pair(verify_folder(run, &notes), notes);
    };
    const std::size_t last = whole.rfind(",\n\"sha256\":");
    EXPECT_THAT(said_of(whole + " ").first, ElementsAre(HasSubstr("manifest.json: its own text")));
    EXPECT_THAT(said_of(whole.substr(0, last) + "\n}\n").first,
                ElementsAre(HasSubstr("manifest.json: its own text")))
        << "without the digest it is not of this format";
    std::string older = whole.substr(0, last) + "\n}\n";
    older.replace(older.find("\"format\":2"), 10, "\"format\":1");
    EXPECT_THAT(said_of(older).first, ::testing::IsEmpty()) << "earlier versions wrote none";
    EXPECT_THAT(said_of(older).second, ElementsAre(HasSubstr("of an older version")));
    std::string newer = whole;
    newer.replace(newer.find("\"format\":2"), 10, "\"format\":4");
    EXPECT_THAT(said_of(newer).first, ElementsAre(HasSubstr("of format 4")));
    EXPECT_THAT(said_of(whole).first, ::testing::IsEmpty());
    EXPECT_THAT(said_of(whole).second, ::testing::IsEmpty());
}

/// A folder with two others in it, and the provenance of a run of its own in each.
void make_with_inner(const fs::path& target, const std::string& bytes, bool overwrite = false) {
    PendingFolder folder(target, overwrite);
    put_file(folder.working() / "of_all.txt", "over all");
    for (const char* const name : {"ketch", "sloop"}) {
        put_file(folder.make_inner(name) / "layer.txt", bytes + name);
    }
    const Provenance of_ketch{"boat = ketch.ini\n", {}, {}}, of_sloop{"boat = sloop.ini\n", {}, {}};
    folder.commit({"boat = ketch.ini\nboat = sloop.ini\n", {}, {}}, 1,
                  {{"ketch", of_ketch}, {"sloop", of_sloop}});
    EXPECT_EQ(folder.files().size(), 1U);
    ASSERT_EQ(folder.files_of("sloop").size(), 1U);
    EXPECT_EQ(folder.files_of("sloop").front().name, "layer.txt");
}

TEST(InnerFolder, IsWhatAFolderOfItsOwnWouldBe) {
    const ScratchFolder scratch;
    make_with_inner(scratch.path() / "all", "of ");
    PendingFolder alone(scratch.path() / "alone", false);
    put_file(alone.working() / "layer.txt", "of ketch");
    alone.commit({"boat = ketch.ini\n", {}, {}});
    EXPECT_EQ(bytes_of(scratch.path() / "all/ketch/manifest.json"),
              bytes_of(scratch.path() / "alone/manifest.json"));
    EXPECT_THAT(verify_folder(scratch.path() / "all"), ::testing::IsEmpty());
    EXPECT_THAT(verify_folder(scratch.path() / "all/ketch"), ::testing::IsEmpty());
    EXPECT_THAT(scratch.names(), ElementsAre("all", "alone"));
}

TEST(InnerFolder, IsVerifiedWithTheOneThatItIsIn) {
    const ScratchFolder scratch;
    const fs::path run = scratch.path() / "run";
    make_with_inner(run, "of ");
    put_file(run / "ketch/layer.txt", "of Ketch");
    put_file(run / "sloop/extra", "x");
    EXPECT_THAT(verify_folder(run), ElementsAre("ketch/layer.txt: its digest is not the manifest's",
                                                "sloop/extra: is not in the manifest"));
    make_with_inner(scratch.path() / "other", "by ");
    fs::remove_all(run / "ketch");
    fs::copy(scratch.path() / "other/ketch", run / "ketch");
    fs::remove(run / "sloop/extra");
    EXPECT_THAT(verify_folder(run), ElementsAre("ketch/manifest.json: its digest is not the manifest's"))
        << "whole by itself, and of another run";
    fs::remove_all(run / "ketch");
    EXPECT_THAT(verify_folder(run), ElementsAre("ketch: is missing"));
    fs::create_directory_symlink("sloop", run / "ketch");
    EXPECT_THAT(verify_folder(run), ElementsAre("ketch: is not a folder"));
    fs::remove(run / "ketch");
    fs::create_directory(run / "ketch");
    EXPECT_THAT(verify_folder(run), ElementsAre("ketch/manifest.json: is missing"));
}

TEST(InnerFolder, IsReplacedOnlyAsItWasMade) {
    const ScratchFolder scratch;
    const fs::path run = scratch.path() / "run";
    make_with_inner(run, "of ");
    make_with_inner(run, "anew ", true);
    EXPECT_EQ(bytes_of(run / "sloop/layer.txt"), "anew sloop");
    make(run, "one", true);
    EXPECT_THAT(verify_folder(run), ::testing::IsEmpty()) << "of one boat where several were";
    make_with_inner(run, "of ", true);
    put_file(run / "ketch/notes.txt", "mine");
    EXPECT_THAT(refusal(run, true), HasSubstr("run/ketch holds notes.txt, which this program did not write"));
    fs::remove(run / "ketch/notes.txt");
    try {
        const PendingFolder folder(run, true, {(run / "sloop/layer.txt").string()});
        ADD_FAILURE() << "taken";
    } catch (const InputError& error) {
        EXPECT_THAT(error.what(), HasSubstr("which is read"));
    }
    fs::remove_all(run / "ketch");
    fs::create_directory_symlink(scratch.path(), run / "ketch");
    EXPECT_THAT(refusal(run, true), HasSubstr("holds ketch, which this program did not write"));
}

TEST(VerifyFolder, LooksAtNoFileOutside) {
    const ScratchFolder scratch;
    make(scratch.path() / "run", "x");
    std::string text = bytes_of(scratch.path() / "run/manifest.json");
    text.replace(text.find("layer.txt"), 9, "../secret");
    put_file(scratch.path() / "run/manifest.json", text);
    EXPECT_THAT(verify_folder(scratch.path() / "run"), ElementsAre(HasSubstr("broken entry")));
}

} // namespace
} // namespace swingroom
