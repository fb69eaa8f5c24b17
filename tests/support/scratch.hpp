#pragma once

#include <algorithm>
#include <cerrno>
#include <filesystem>
#include <stdlib.h>
#include <string>
#include <system_error>
#include <vector>

namespace swingroom::testing_support {

/// A folder of a test's own, removed with everything in it.
class Scratch {
public:
    Scratch() {
        // mkdtemp() puts a name of its own into the last six places.
        std::string name =
            (std::filesystem::temp_directory_path() / ("swingroom-test-" + std::string(6, 'X'))).string();
        if (::mkdtemp(name.data()) == nullptr) throw std::system_error(errno, std::generic_category(), name);
        path_ = name;
    }
    ~Scratch() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;

    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    [[nodiscard]] std::string operator/(const std::string& name) const { return (path_ / name).string(); }
    /// Names of what is in it, sorted.
    [[nodiscard]] std::vector<std::string> names() const {
        std::vector<std::string> names;
        for (const auto& entry : std::filesystem::directory_iterator(path_)) {
            names.push_back(entry.path().filename().string());
        }
        std::sort(names.begin(), names.end());
        return names;
    }

private:
    std::filesystem::path path_;
};

} // namespace swingroom::testing_support
