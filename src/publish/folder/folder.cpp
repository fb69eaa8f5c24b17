#include "swingroom/publish/folder.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"

#include "base/json.hpp"
#include "base/parallel.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/folder/json_value.hpp"
#include "publish/folder/replaced_inputs.hpp"
#include "publish/folder/sha256.hpp"
#include "publish/folder/working_place.hpp"

#include <cpl_error.h>
#include <cpl_json.h>

#include <algorithm>
#include <cerrno>
#include <fcntl.h>
#include <iterator>
#include <map>
#include <optional>
#include <set>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

constexpr const char* manifest_name = "manifest.json";
constexpr Setting called = Setting::out;
constexpr std::string_view sidecar_endings[] = {".aux.xml", ".ovr", "-wal", "-shm"};
constexpr std::uintmax_t manifest_limit = 64U << 20U;

/// Of a manifest: 2 when it ends with a digest of itself, which 1 did not have; 3 when it tells of folders
/// within its own, too, which older versions would take for somebody else's.
constexpr int format_of_files = 2, format_of_folders = 3;

struct Entry {
    std::string sha256;
    std::uintmax_t bytes = 0;
};

/// The end of a manifest, whose last member is the digest of every byte before the line that it stands on.
std::string own_digest(std::string_view before) {
    Sha256 sum;
    sum.add(before);
    return "\"sha256\":" + json_text(sum.hex()) + "\n}\n";
}

/// Whether each byte of a manifest is as it was written.
bool is_as_written(std::string_view text) {
    const std::size_t length = own_digest({}).size(); // the same whatever the digest
    return text.size() > length &&
           text.substr(text.size() - length) == own_digest(text.substr(0, text.size() - length));
}

/// What a manifest says of the folder's files, by name.
using Entries = std::map<std::string, Entry>;

/// What it says of all that is in the folder.
struct Contents {
    Entries files;
    Entries folders; ///< inner ones, by their manifests
};

bool is_plain_name(const std::string& name) {
    return !name.empty() && name != "." && name != ".." && name.find('/') == std::string::npos;
}

/// @returns nothing where an entry is broken; `why` then says which
std::optional<Entries> entries_in(const CPLJSONArray& list, const char* member, std::string& why) {
    Entries entries;
    for (int i = 0; list.IsValid() && i < list.Size(); ++i) {
        const std::string name = list[i].GetString("name"), sha256 = list[i].GetString("sha256");
        const GInt64 bytes = list[i].GetLong("bytes", -1);
        if (!is_plain_name(name) || sha256.size() != 64 || bytes < 0 ||
            !entries.try_emplace(name, Entry{sha256, static_cast<std::uintmax_t>(bytes)}).second) {
            why = "has a broken entry, the " + std::to_string(i + 1) + ". of its " + member;
            return std::nullopt;
        }
    }
    return entries;
}

/// @returns nothing when the text is not a manifest of this program; `why` then says what is wrong
std::optional<Contents> parse_manifest(const std::string& text, std::string& why) {
    CPLErrorHandlerPusher quiet(CPLQuietErrorHandler);
    CPLJSONDocument document;
    if (!document.LoadMemory(text)) {
        why = "is not JSON";
        return std::nullopt;
    }
    const CPLJSONObject root = document.GetRoot();
    const CPLJSONArray outputs = root.GetArray("outputs");
    if (root.GetString("program") != "swingroom" || !outputs.IsValid()) {
        why = "is not a manifest of this program";
        return std::nullopt;
    }
    std::optional<Entries> files = entries_in(outputs, "outputs", why),
                           folders = entries_in(root.GetArray("folders"), "folders", why);
    if (!files || !folders) return std::nullopt;
    return Contents{std::move(*files), std::move(*folders)};
}

/// @returns 0 where it names none   @pre parse_manifest
int format_of(const std::string& text) {
    const CPLErrorHandlerPusher quiet(CPLQuietErrorHandler);
    CPLJSONDocument document;
    return document.LoadMemory(text) ? document.GetRoot().GetInteger("format") : 0;
}

std::string read_manifest(const fs::path& folder) {
    std::string text;
    const fs::path path = folder / manifest_name;
    guarded::read_file(path, [&](std::string_view bytes) {
        text += bytes;
        if (text.size() > manifest_limit) throw IoError(path.string(), "is too long for a manifest");
    });
    return text;
}

std::vector<std::string> names_in(const fs::path& folder) {
    std::vector<std::string> names;
    std::error_code error;
    for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error)) {
        names.push_back(it->path().filename().string());
    }
    if (error) throw IoError(folder.string(), "cannot be listed: " + error.message());
    std::sort(names.begin(), names.end());
    return names;
}

/// What viewers leave beside a file when somebody looks at it: statistics, overviews, the journal of a
/// database.
bool is_sidecar_of_ours(const fs::path& folder, const std::string& name, const Entries& entries) {
    std::error_code ignored;
    return std::any_of(std::begin(sidecar_endings), std::end(sidecar_endings), [&](std::string_view ending) {
        return name.ends_with(ending) && entries.contains(name.substr(0, name.size() - ending.size())) &&
               fs::is_regular_file(fs::symlink_status(folder / name, ignored));
    });
}

/// Refuses a folder that this program has not made, or that holds what it has not: nobody's work is replaced.
void require_made_here(const fs::path& folder) {
    const std::vector<std::string> names = names_in(folder);
    std::string why = "has no manifest.json";
    std::optional<Contents> contents;
    if (std::binary_search(names.begin(), names.end(), manifest_name)) {
        contents = parse_manifest(read_manifest(folder), why);
        if (!contents) why = "has a manifest.json that " + why;
    }
    if (!contents) {
        throw InputError(called, folder.string() + " is not a folder made by this program: it " + why,
                         "give another name");
    }
    for (const std::string& name : names) {
        std::error_code ignored;
        if (contents->folders.contains(name) &&
            fs::is_directory(fs::symlink_status(folder / name, ignored))) {
            require_made_here(folder / name);
        } else if (name != manifest_name && !contents->files.contains(name) &&
                   !is_sidecar_of_ours(folder, name, contents->files)) {
            throw InputError(called,
                             folder.string() + " holds " + name + ", which this program did not write",
                             "move that file away, or give another name");
        }
    }
}

/// Refuses a target that may not be replaced.  @returns whether something is there
bool check_target(const fs::path& target, bool overwrite) {
    struct stat about {};
    if (::lstat(target.c_str(), &about) != 0) {
        if (errno == ENOENT) return false;
        throw InputError(called, target.string() + " cannot be looked at: " + guarded::reason_of(errno),
                         "give a folder that can be written");
    }
    if (S_ISLNK(about.st_mode)) {
        throw InputError(called, target.string() + " is a symbolic link", "give the folder's own name");
    }
    if (!S_ISDIR(about.st_mode)) {
        throw InputError(called, target.string() + " is there and is not a folder", "give another name");
    }
    if (!overwrite) {
        throw InputError(called, target.string() + " exists already",
                         "give another name, or " + Setting::overwrite + " to replace it");
    }
    if (!names_in(target).empty()) require_made_here(target);
    return true;
}

/// A member of a manifest: an empty list as one with a line feed in it.
std::string list_text(std::string_view member, const Entries& entries) {
    std::string text = "\"" + std::string(member) + "\":[";
    const char* comma = "\n";
    for (const auto& [name, entry] : entries) {
        text += comma + std::string("{\"name\":") + json_text(name) +
                ",\"bytes\":" + std::to_string(entry.bytes) + ",\"sha256\":" + json_text(entry.sha256) + "}";
        comma = ",\n";
    }
    return text + "\n],\n";
}

std::string manifest_text(const Provenance& provenance, const Contents& contents) {
    const bool has_folders = !contents.folders.empty();
    const int format = has_folders ? format_of_folders : format_of_files;
    std::string text = "{\n\"format\":" + std::to_string(format) +
                       ",\n\"program\":\"swingroom\",\n\"version\":" + json_text(version()) +
                       ",\n\"caution\":" + json_text(caution) + ",\n";
    text += list_text("outputs", contents.files);
    if (has_folders) text += list_text("folders", contents.folders);
    text += "\"provenance\":" + provenance_json(provenance) + ",\n";
    return text + own_digest(text);
}

/// Flushes all files that were made in a working folder to disk, and takes their digests while the disk is
/// busy with others.
/// @param folders  inner ones, which are passed over
Entries flushed_entries(const fs::path& working, const Entries& folders, int threads) {
    std::vector<std::string> names = names_in(working);
    std::erase_if(names, [&](const std::string& name) {
        return WorkingPlace::is_lock(name) || folders.contains(name);
    });
    std::vector<Entry> entries(names.size());
    parallel_for(names.size(), threads, [&](const auto& next) {
        while (const auto i = next()) {
            const fs::path file = working / names[*i];
            guarded::sync_to_disk(file);
            const InputFile digest = digest_of_file(file.string());
            entries[*i] = {digest.sha256, digest.bytes};
        }
    });
    Entries outputs;
    for (std::size_t i = 0; i < names.size(); ++i) {
        outputs.try_emplace(names[i], entries[i]);
    }
    return outputs;
}

void write_manifest(const fs::path& working, const std::string& text) {
    const fs::path manifest = working / manifest_name;
    guarded::Writer writer(manifest);
    writer.write(text);
    writer.close();
    if (read_manifest(working) != text) guarded::fail(manifest, "reads otherwise than it was written");
}

/// Flushes the files of a working folder to disk, and a manifest of them.
/// @param folders  inner ones, which are sealed already
/// @returns what the manifest tells of files
Entries seal(const fs::path& working, const Provenance& provenance, const Entries& folders, int threads) {
    Contents contents{flushed_entries(working, folders, threads), folders};
    write_manifest(working, manifest_text(provenance, contents));
    guarded::sync_to_disk(working / manifest_name);
    return std::move(contents.files);
}

std::vector<WrittenFile> written_files(const Entries& entries) {
    std::vector<WrittenFile> files;
    for (const auto& [name, entry] : entries) {
        files.push_back({name, entry.sha256, entry.bytes});
    }
    return files;
}

[[noreturn]] void fail_to_appear(const fs::path& target, int error) {
    if (error == EEXIST || error == ENOTEMPTY) {
        throw InputError(called, target.string() + " has appeared during the run",
                         "give another name, or " + Setting::overwrite + " to replace it");
    }
    throw IoError(target.string(), "giving the folder its name failed: " + guarded::reason_and_cure(error));
}

bool lacks_such_rename(int error) { return error == EINVAL || error == ENOSYS || error == ENOTSUP; }

/// Gives the working folder its name. Afterwards `working` names what was there before, if something was.
void rename_into_place(const fs::path& working, const fs::path& target, bool replaces) {
    const auto how = replaces ? guarded::Rename::exchange : guarded::Rename::refuse;
    int error = guarded::rename_in_one_step(working, target, how);
    if (error == 0) return;
    if (!lacks_such_rename(error)) fail_to_appear(target, error);
    // Two plain steps for file systems without the one: a reader may find no folder in between, never half of
    // one, and another run that ends at the same moment may be replaced unseen only while it is empty.
    struct stat about {};
    if (!replaces) {
        if (::lstat(target.c_str(), &about) == 0) fail_to_appear(target, EEXIST);
        if (error = guarded::rename_plainly(working, target); error != 0) fail_to_appear(target, error);
        return;
    }
    const fs::path aside = name_beside(target);
    if (error = guarded::rename_plainly(target, aside); error != 0) fail_to_appear(target, error);
    if (error = guarded::rename_plainly(working, target); error != 0) {
        ::rename(aside.c_str(), target.c_str());
        fail_to_appear(target, error);
    }
    ::rename(aside.c_str(), working.c_str());
}

/// Takes the name back, so that a failure leaves the target as it was.
void undo_rename(const fs::path& working, const fs::path& target, bool replaced) {
    if (!replaced) {
        ::rename(target.c_str(), working.c_str());
        return;
    }
    if (::renameat2(AT_FDCWD, working.c_str(), AT_FDCWD, target.c_str(), RENAME_EXCHANGE) == 0) return;
    const fs::path aside = name_beside(target);
    if (::rename(target.c_str(), aside.c_str()) == 0 && ::rename(working.c_str(), target.c_str()) == 0) {
        ::rename(aside.c_str(), working.c_str());
    }
}

} // namespace

PendingFolder::PendingFolder(std::filesystem::path target, bool overwrite,
                             const std::vector<std::string>& inputs)
    : target_(checked_target(std::move(target), called)), overwrite_(overwrite) {
    check_target(target_, overwrite_);
    // Most folders are no input but a slip, which whoever reads them tells better.
    std::vector<std::string> files;
    std::error_code ignored;
    std::copy_if(inputs.begin(), inputs.end(), std::back_inserter(files),
                 [&](const std::string& input) { return !fs::is_directory(input, ignored); });
    keep_inputs(files);
    place_ = std::make_unique<WorkingPlace>(target_, called);
}

PendingFolder::~PendingFolder() = default;

const std::filesystem::path& PendingFolder::working() const { return place_->path(); }
const std::filesystem::path& PendingFolder::target() const { return target_; }
const std::vector<std::string>& PendingFolder::notes() const { return place_->notes(); }

void PendingFolder::keep_inputs(const std::vector<std::string>& inputs) const {
    refuse_to_replace(target_, inputs, called);
    std::error_code ignored;
    for (fs::directory_iterator it(target_, ignored), end; !ignored && it != end; it.increment(ignored)) {
        std::error_code not_told;
        if (fs::is_directory(it->symlink_status(not_told))) refuse_to_replace(it->path(), inputs, called);
    }
}

std::filesystem::path PendingFolder::make_inner(const std::string& name) const {
    fs::path made = working() / name;
    if (const int error = guarded::make_folder(made); error != 0) {
        guarded::fail_with(made, "making", error);
    }
    return made;
}

void PendingFolder::commit(const Provenance& provenance, int threads, const std::vector<InnerFolder>& inner) {
    require_unchanged(provenance.inputs);
    Entries folders;
    for (const InnerFolder& folder : inner) {
        require_unchanged(folder.provenance.inputs);
        const fs::path within = working() / folder.name;
        inner_files_[folder.name] = written_files(seal(within, folder.provenance, {}, threads));
        guarded::sync_to_disk(within);
        const InputFile manifest = digest_of_file((within / manifest_name).string());
        folders.try_emplace(folder.name, Entry{manifest.sha256, manifest.bytes});
    }
    files_ = written_files(seal(working(), provenance, folders, threads));
    place_->remove_lock();
    guarded::sync_to_disk(working());

    const bool replaces = check_target(target_, overwrite_);
    if (replaces) keep_inputs(names_of(provenance.inputs));
    {
        const guarded::RenameLock naming;
        rename_into_place(working(), target_, replaces);
        if (const int error = guarded::flush_folder(target_.parent_path()); error != 0) {
            undo_rename(working(), target_, replaces);
            throw IoError(target_.string(),
                          "flushing the folder that it is in failed: " + guarded::reason_and_cure(error));
        }
        place_->hand_over();
    }
    if (replaces) place_->discard_replaced();
}

std::vector<InputFile> inputs_of_folder(const std::filesystem::path& folder) {
    const JsonValue manifest = JsonValue::parse(read_manifest(folder), (folder / manifest_name).string());
    std::vector<InputFile> inputs;
    for (const JsonValue& input : manifest.object("provenance").list("inputs")) {
        inputs.push_back({input.text("path"), input.text("sha256"),
                          static_cast<std::uintmax_t>(input.number("bytes")), 0});
    }
    return inputs;
}

std::string manifest_digest(const std::filesystem::path& folder) {
    return digest_of_file((folder / manifest_name).string()).sha256;
}

namespace {

/// The manifest's own text.
/// @param notes  gets what is no fault but should be known
void check_manifest_text(const std::string& text, std::vector<std::string>& findings,
                         std::vector<std::string>& notes) {
    if (is_as_written(text)) return;
    const int format = format_of(text);
    const std::string name = manifest_name;
    // Without its last line one of format 2 would pass for an older one only if its format were changed, too.
    if (format == 1 && text.find("\n\"sha256\":") == std::string::npos) {
        notes.push_back(name +
                        ": is of an older version and has no digest of itself, so that a change of its "
                        "own text would not be noticed");
    } else if (format > format_of_folders) {
        findings.push_back(name + ": is of format " + std::to_string(format) +
                           ", which this version does not know; use a newer one");
    } else {
        findings.push_back(name +
                           ": its own text is not what was written, so nothing in it can be relied on");
    }
}

/// Compares a file with what the manifest says of it.
void check_file(const fs::path& folder, const std::string& name, const Entry& entry,
                std::vector<std::string>& findings) {
    std::error_code ignored;
    if (!fs::is_regular_file(fs::symlink_status(folder / name, ignored))) {
        findings.push_back(name + ": is not a plain file");
        return;
    }
    try {
        const InputFile digest = digest_of_file((folder / name).string());
        if (digest.bytes != entry.bytes) {
            findings.push_back(name + ": has " + std::to_string(digest.bytes) + " bytes, the manifest says " +
                               std::to_string(entry.bytes));
        } else if (digest.sha256 != entry.sha256) {
            findings.push_back(name + ": its digest is not the manifest's");
        }
    } catch (const IoError& error) {
        findings.push_back(name + ": " + error.what());
    }
}

/// Looks into an inner folder. One that is whole by itself may still be another one.
void check_inner(const fs::path& folder, const std::string& name, const Entry& entry,
                 std::vector<std::string>& findings, std::vector<std::string>& notes) {
    std::error_code ignored;
    const fs::path inner = folder / name;
    if (!fs::is_directory(fs::symlink_status(inner, ignored))) {
        findings.push_back(name + ": is not a folder");
        return;
    }
    std::vector<std::string> of_inner, notes_of_inner;
    if (fs::exists(fs::symlink_status(inner / manifest_name, ignored))) {
        of_inner = verify_folder(inner, &notes_of_inner);
        check_file(inner, manifest_name, entry, of_inner);
    } else {
        of_inner.push_back(std::string(manifest_name) + ": is missing");
    }
    for (const std::string& finding : of_inner) {
        findings.push_back(name + "/" + finding);
    }
    for (const std::string& note : notes_of_inner) {
        notes.push_back(name + "/" + note);
    }
}

} // namespace

std::vector<std::string> verify_folder(const std::filesystem::path& folder, std::vector<std::string>* notes) {
    std::error_code ignored;
    if (!fs::is_directory(folder, ignored)) {
        throw InputError(folder.string(), "is not a folder that can be read",
                         "give a folder that a run has made");
    }
    if (!fs::exists(fs::symlink_status(folder / manifest_name, ignored))) {
        throw InputError(folder.string(), "has no manifest.json", "give a folder that a run has made");
    }
    std::vector<std::string> findings;
    std::string why;
    const std::string manifest = read_manifest(folder);
    const std::optional<Contents> contents = parse_manifest(manifest, why);
    if (!contents) return {std::string(manifest_name) + ": " + why};
    std::vector<std::string> not_asked_for;
    std::vector<std::string>& told = notes != nullptr ? *notes : not_asked_for;
    check_manifest_text(manifest, findings, told);

    const std::vector<std::string> names = names_in(folder);
    for (const std::string& name : names) {
        if (name != manifest_name && !contents->files.contains(name) && !contents->folders.contains(name)) {
            findings.push_back(name + ": is not in the manifest");
        }
    }
    const auto each = [&](const Entries& entries, const auto& check) {
        for (const auto& [name, entry] : entries) {
            if (std::binary_search(names.begin(), names.end(), name)) {
                check(name, entry);
            } else {
                findings.push_back(name + ": is missing");
            }
        }
    };
    each(contents->files,
         [&](const std::string& name, const Entry& entry) { check_file(folder, name, entry, findings); });
    each(contents->folders, [&](const std::string& name, const Entry& entry) {
        check_inner(folder, name, entry, findings, told);
    });
    std::sort(findings.begin(), findings.end());
    return findings;
}

} // namespace swingroom
