#include "sea/files/file_stamps.hpp"

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <set>
#include <sys/stat.h>
#include <system_error>
#include <tuple>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// "QQ5HAVEN.000" and "qq5haven.001" as "qq5haven.".
std::string stem_of(const fs::path& file) {
    std::string name = file.filename().string();
    name.resize(std::min(name.find('.'), name.size()));
    std::transform(name.begin(), name.end(), name.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return name + ".";
}

std::int64_t nanoseconds(const timespec& time) {
    return static_cast<std::int64_t>(time.tv_sec) * 1'000'000'000 + time.tv_nsec;
}

} // namespace

std::vector<std::string> with_neighbours(const std::vector<std::string>& files) {
    std::set<std::string> found;
    std::map<fs::path, std::set<std::string>> stems; // by the folder that they are in
    for (const std::string& file : files) {
        found.insert(file);
        stems[fs::path(file).parent_path()].insert(stem_of(file));
    }
    for (const auto& [folder, wanted] : stems) {
        std::error_code error, ignored;
        const fs::path listed = folder.empty() ? fs::path(".") : folder;
        for (fs::directory_iterator it(listed, error), end; !error && it != end; it.increment(error)) {
            const bool beside = wanted.contains(stem_of(it->path()));
            if (beside && it->is_regular_file(ignored)) {
                found.insert((folder / it->path().filename()).string());
            }
        }
    }
    return {found.begin(), found.end()};
}

FileStamps::FileStamps(const std::vector<std::string>& files, Beside beside)
    : files_(files), beside_(beside) {
    for (const std::string& file : beside == Beside::counted ? with_neighbours(files) : files) {
        stamps_.emplace(file, stamp_of(file));
    }
}

FileStamps::Stamp FileStamps::stamp_of(const std::string& file) {
    struct stat about {};
    if (::stat(file.c_str(), &about) != 0) return {};
    return {about.st_dev, about.st_ino, about.st_size, nanoseconds(about.st_ctim),
            nanoseconds(about.st_mtim)};
}

std::string FileStamps::first_rewritten() const {
    const auto found = std::find_if(files_.begin(), files_.end(), [&](const std::string& file) {
        std::error_code ignored;
        if (fs::is_directory(file, ignored)) return false; // whose files are among these
        const Stamp now = stamp_of(file), &then = stamps_.at(file);
        return std::tie(now.device, now.number, now.bytes, now.written_ns) !=
               std::tie(then.device, then.number, then.bytes, then.written_ns);
    });
    return found == files_.end() ? std::string() : *found;
}

bool FileStamps::settled_before(std::chrono::system_clock::time_point moment) const {
    const auto last = std::chrono::duration_cast<std::chrono::nanoseconds>(
        (moment - std::chrono::seconds(2)).time_since_epoch());
    return std::all_of(stamps_.begin(), stamps_.end(), [&](const auto& of_file) {
        const Stamp& stamp = of_file.second;
        return std::max(stamp.changed_ns, stamp.written_ns) < last.count();
    });
}

bool FileStamps::name_all_of(const FileStamps& others) const {
    return std::all_of(others.stamps_.begin(), others.stamps_.end(),
                       [&](const auto& of_file) { return stamps_.contains(of_file.first); });
}

} // namespace swingroom
