#include "cli/run/picture_file.hpp"

#include "swingroom/base/message.hpp"
#include "swingroom/publish/file.hpp"

#include "cli/console.hpp"

namespace swingroom::cli {

void write_picture(const std::string& path, const Markup& svg, bool overwrite, const std::string& input) {
    PendingFile file(path, overwrite, Setting::picture, {input});
    for (const std::string& note : file.notes()) {
        print_warning(note);
    }
    file.commit(svg.str());
}

} // namespace swingroom::cli
