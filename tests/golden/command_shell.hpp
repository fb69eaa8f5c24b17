#pragma once

#include "golden/support.hpp"

#include <array>
#include <cstdio>
#include <filesystem>
#include <string>

namespace swingroom::golden {

/// A folder of its own in which a shell runs commands, with the built command on its path.
class CommandShell {
public:
    /// Gives the folder a link to a file or folder, under the name that this has.
    void link(const std::filesystem::path& to) {
        std::filesystem::create_symlink(to, scratch_ / to.filename().string());
    }
    /// Both streams, and the exit code on a last line if it is not 0.
    std::string run(const std::string& commands) {
        write_bytes(scratch_ / "commands", commands);
        const std::filesystem::path binary = SWINGROOM_COMMAND;
        const std::string call = "cd '" + std::string(scratch_ / "") + "' && PATH=\"" +
                                 binary.parent_path().string() +
                                 ":$PATH\" sh -e ./commands 2>&1 || echo code $?";
        FILE* const pipe = popen(call.c_str(), "r"); // NOLINT: a shell is what is meant
        std::string said;
        std::array<char, 4096> piece{};
        while (const std::size_t got = fread(piece.data(), 1, piece.size(), pipe)) {
            said.append(piece.data(), got);
        }
        pclose(pipe);
        return said;
    }

private:
    Scratch scratch_;
};

} // namespace swingroom::golden
