#include "swingroom/publish/provenance.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/fact.hpp"
#include "swingroom/base/version.hpp"

#include "base/json.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/folder/sha256.hpp"

#include <cerrno>
#include <sys/stat.h>

namespace swingroom {

std::int64_t last_change_ns(const std::string& path) {
    struct stat about {};
    if (::stat(path.c_str(), &about) != 0) return 0;
    return static_cast<std::int64_t>(about.st_mtim.tv_sec) * 1'000'000'000 + about.st_mtim.tv_nsec;
}

std::vector<std::string> names_of(const std::vector<InputFile>& inputs) {
    std::vector<std::string> names;
    for (const InputFile& input : inputs) {
        names.push_back(input.path);
    }
    return names;
}

InputFile digest_of_file(const std::string& path) {
    InputFile file{path, {}, 0, last_change_ns(path)};
    Sha256 sum;
    guarded::read_file(path, [&](std::string_view bytes) {
        sum.add(bytes);
        file.bytes += bytes.size();
    });
    file.sha256 = sum.hex();
    return file;
}

/// An input that changed while it was read makes the result nobody's.
void require_unchanged(const std::vector<InputFile>& inputs) {
    for (const InputFile& input : inputs) {
        if (input.changed_ns == 0) continue;
        struct stat about {};
        if (::stat(input.path.c_str(), &about) != 0) {
            throw IoError(input.path, "vanished during the run: " + guarded::reason_of(errno));
        }
        const std::int64_t changed_ns =
            static_cast<std::int64_t>(about.st_mtim.tv_sec) * 1'000'000'000 + about.st_mtim.tv_nsec;
        if (changed_ns != input.changed_ns || static_cast<std::uintmax_t>(about.st_size) != input.bytes) {
            throw IoError(input.path, "changed during the run; run again");
        }
    }
}

std::string provenance_json(const Provenance& provenance) {
    std::string text = "{\"program\":\"swingroom\",\"version\":" + json_text(version()) +
                       ",\"caution\":" + json_text(caution) +
                       ",\"command\":" + json_text(provenance.command) + ",\"facts\":[";
    const char* comma = "";
    for (const Fact& fact : provenance.facts) {
        text += comma + std::string("{\"name\":") + json_text(fact_name(fact)) +
                ",\"value\":" + json_text(fact_value(fact)) + "}";
        comma = ",";
    }
    text += "],\"inputs\":[";
    comma = "";
    for (const InputFile& input : provenance.inputs) {
        text += comma + std::string("{\"path\":") + json_text(input.path) +
                ",\"bytes\":" + std::to_string(input.bytes) + ",\"sha256\":" + json_text(input.sha256) + "}";
        comma = ",";
    }
    return text + "]}";
}

std::string provenance_text(const Provenance& provenance) {
    std::string text = std::string(caution) + " Made by swingroom " + std::string(version()) + ". Plan: ";
    for (const char c : provenance.command) {
        text += c == '\n' ? std::string("; ") : std::string{c};
    }
    for (const Fact& fact : provenance.facts) {
        text += fact_line(fact) + "; ";
    }
    for (const InputFile& input : provenance.inputs) {
        text += "input " + input.path + ", SHA-256 " + input.sha256 + "; ";
    }
    return valid_utf8(text);
}

} // namespace swingroom
