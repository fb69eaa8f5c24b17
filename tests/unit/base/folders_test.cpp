// The folders of the source as DEVELOPERS.md draws them: each includes itself and those before it, and only
// two of them know the libraries that read and write files; one file writes to the terminal.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <regex>
#include <string>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

constexpr std::array<const char*, 9> folders = {"base",    "water",   "boat",   "room", "sea",
                                                "overlay", "publish", "report", "cli"};

/// Calls `take` with each include of a folder's headers and sources, and the file that it stands in.
template <class Take>
void each_include(const std::string& folder, Take take) {
    const std::regex include("#include [<\"]([^>\"]*)[>\"].*");
    for (const char* root : {SWINGROOM_SOURCE "/src/", SWINGROOM_SOURCE "/include/swingroom/"}) {
        if (!fs::exists(root + folder)) continue;
        for (const auto& entry : fs::recursive_directory_iterator(root + folder)) {
            if (!entry.is_regular_file()) continue;
            std::ifstream file(entry.path());
            std::smatch found;
            for (std::string line; std::getline(file, line);) {
                if (std::regex_match(line, found, include)) take(found[1].str(), entry.path().filename());
            }
        }
    }
}

std::size_t place(const std::string& folder) {
    return static_cast<std::size_t>(std::find(folders.begin(), folders.end(), folder) - folders.begin());
}

TEST(Folders, KnowOnlyThoseBeforeThem) {
    std::size_t seen = 0;
    for (const std::string folder : folders) {
        each_include(folder, [&](std::string header, const fs::path& file) {
            if (header.starts_with("swingroom/")) header.erase(0, 10);
            const std::size_t other = place(header.substr(0, header.find('/')));
            if (other == folders.size()) return;
            EXPECT_LE(other, place(folder)) << folder << "/" << file << " includes " << header;
            ++seen;
        });
    }
    EXPECT_GT(seen, 100U);
}

TEST(Folders, WriteToTheTerminalInOnePlaceAlone) {
    // But for the bar of progress, which holds nothing from outside. snprintf() writes into memory.
    const std::regex writes(
        "(^|.*[^a-z_])(cout|cerr|clog|v?f?printf|f?puts|f?putc|putchar|fwrite|perror|STDOUT_FILENO)\\b.*");
    std::string found;
    for (const std::string folder : folders) {
        for (const auto& entry :
             fs::recursive_directory_iterator(std::string(SWINGROOM_SOURCE "/src/") + folder)) {
            const std::string name = entry.path().filename();
            if (name == "console.cpp" || name == "run_control.cpp" || !name.ends_with("pp")) continue;
            std::ifstream file(entry.path());
            for (std::string line; std::getline(file, line);) {
                if (std::regex_match(line.substr(0, line.find("//")), writes)) {
                    found += name + ": " + line + "\n";
                }
            }
        }
    }
    EXPECT_EQ(found, "");
}

TEST(Folders, KnowLibrariesOfFormatsAndGeometryInTwoPlacesAlone) {
    const std::regex library("(gdal|cpl_|ogr|proj|geos|vrt).*\\.h(pp)?");
    std::size_t seen = 0;
    for (const std::string folder : folders) {
        each_include(folder, [&](const std::string& header, const fs::path& file) {
            if (!std::regex_match(header, library)) return;
            EXPECT_TRUE(folder == "sea" || folder == "publish") << folder << "/" << file << ": " << header;
            ++seen;
        });
    }
    EXPECT_GT(seen, 20U);
}

} // namespace
} // namespace swingroom
