#include "cli/run/kept_inputs.hpp"

#include <utility>
#include <vector>

namespace swingroom::cli {

const InputFile& InputDigests::of(const std::string& path) {
    const auto known = known_.find(path);
    if (known != known_.end() && known->second.still_holds()) return known->second.opened();
    Stamped<InputFile> digested(
        {path}, Beside::ignored, [&] { return digest_of_file(path); },
        [](const InputFile& file) { return std::vector{file.path}; });
    return known_.insert_or_assign(path, std::move(digested)).first->second.opened();
}

} // namespace swingroom::cli
