#include "publish/folder/replaced_inputs.hpp"

#include "swingroom/base/error.hpp"

#include <map>
#include <sys/stat.h>
#include <system_error>
#include <utility>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// What a file is, whatever it is called: its device and its number there.
using Identity = std::pair<dev_t, ino_t>;

/// Inputs by what they are, links followed.
class Inputs {
public:
    explicit Inputs(const std::vector<std::string>& names) {
        for (const std::string& name : names) {
            struct stat about {};
            if (::stat(name.c_str(), &about) == 0) {
                inputs_.try_emplace(Identity(about.st_dev, about.st_ino), name);
            }
        }
    }
    /// @returns the input that a path leads to, or nothing
    [[nodiscard]] const std::string* at(const fs::path& path) const {
        struct stat about {};
        if (::stat(path.c_str(), &about) != 0) return nullptr;
        const auto found = inputs_.find({about.st_dev, about.st_ino});
        return found == inputs_.end() ? nullptr : &found->second;
    }

private:
    std::map<Identity, std::string> inputs_;
};

} // namespace

void refuse_to_replace(const fs::path& target, const std::vector<std::string>& inputs, Setting called) {
    const Inputs read(inputs);
    const Message cure = "give another " + called;
    if (const std::string* const input = read.at(target)) {
        throw InputError(called, target.string() + " is " + *input + ", which is read", cure);
    }
    for (fs::path above = target.parent_path(); !above.empty(); above = above.parent_path()) {
        if (const std::string* const input = read.at(above)) {
            throw InputError(called, target.string() + " lies in " + *input + ", which is read", cure);
        }
        if (above == above.parent_path()) break;
    }
    std::error_code ignored;
    for (fs::directory_iterator it(target, ignored), end; !ignored && it != end; it.increment(ignored)) {
        if (const std::string* const input = read.at(it->path())) {
            throw InputError(called, target.string() + " holds " + *input + ", which is read", cure);
        }
    }
}

} // namespace swingroom
