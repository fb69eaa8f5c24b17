#pragma once

#include <string>

namespace swingroom::cli {

/// What such a script looks like: src/cli/run/parts.sh, with {names} where values go.
extern const char* const part_script_template;

/// What a script for parts is made of.
struct PartScript {
    std::string plan;    ///< the whole plan, with absolute paths
    std::string program; ///< how the program is called
    std::string out;     ///< the folder that the merge makes, as a path that means the same everywhere
    int parts = 1;       ///< how many
    int threads = 1;     ///< of each part and of the merge
    int memory_mb = 0;   ///< the same, to aim at
};

/// A script of the shell that has Slurm make a run in parts, an array of jobs and one behind it that merges
/// them; submitted again, it makes only what is not there. Its parts can be made without Slurm, too.
std::string part_script(const PartScript& of);

} // namespace swingroom::cli
