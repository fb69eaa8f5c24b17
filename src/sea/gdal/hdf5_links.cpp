#include "swingroom/base/error.hpp"

#include "sea/gdal/raster_references.hpp"
#include "sea/raster/bathymetry_file.hpp"

#include <array>
#include <cstdint>
#include <cstring>
#include <dlfcn.h>
#include <fstream>
#include <optional>
#include <string>

namespace swingroom::bathymetry {
namespace {

// HDF5 is there only if GDAL was built with it, so that its functions are asked for by name. Types and
// numbers are those of its C interface from 1.10 on, which are the same in 1.14.
using Id = std::int64_t;
using VisitLink = int (*)(Id group, const char* name, const int* info,
                          void* data); // info starts with the kind

template <class Function>
Function* function(const char* name) {
    return reinterpret_cast<Function*>(dlsym(RTLD_DEFAULT, name));
}

struct Hdf5 {
    Id (*open_file)(const char*, unsigned, Id) = function<Id(const char*, unsigned, Id)>("H5Fopen");
    int (*close_file)(Id) = function<int(Id)>("H5Fclose");
    int (*visit_links)(Id, int, int, VisitLink, void*) = first_of("H5Lvisit1", "H5Lvisit");
    Id (*open_object)(Id, const char*, Id) = function<Id(Id, const char*, Id)>("H5Oopen");
    int (*close_object)(Id) = function<int(Id)>("H5Oclose");
    int (*type_of)(Id) = function<int(Id)>("H5Iget_type");
    Id (*creation_of)(Id) = function<Id(Id)>("H5Dget_create_plist");
    int (*layout_of)(Id) = function<int(Id)>("H5Pget_layout");
    int (*external_files_of)(Id) = function<int(Id)>("H5Pget_external_count");
    int (*close_list)(Id) = function<int(Id)>("H5Pclose");

    [[nodiscard]] bool complete() const {
        return open_file && close_file && visit_links && open_object && close_object && type_of &&
               creation_of && layout_of && external_files_of && close_list;
    }

private:
    static int (*first_of(const char* newer, const char* older))(Id, int, int, VisitLink, void*) {
        using Visit = int(Id, int, int, VisitLink, void*);
        Visit* const found = function<Visit>(newer);
        return found ? found : function<Visit>(older);
    }
};

/// A superblock stands at the beginning, or at 512 bytes times a power of two.
bool is_hdf5(const std::string& name) {
    constexpr std::array<char, 8> signature = {'\x89', 'H', 'D', 'F', '\r', '\n', '\x1a', '\n'};
    std::ifstream in(name, std::ios::binary);
    std::array<char, 8> start{};
    for (std::int64_t at = 0; in.seekg(at) && in.read(start.data(), start.size());
         at = at == 0 ? 512 : 2 * at) {
        if (start == signature) return true;
    }
    return false;
}

/// What a file's links lead to.
struct Search {
    const Hdf5& hdf5;
    std::string found; ///< the first that leads out of the file

    /// Called by C code: returns 1 to end, and throws nothing.
    static int look_at(Id group, const char* name, const int* info, void* data) noexcept {
        constexpr int hard = 0, soft = 1;
        auto& search = *static_cast<Search*>(data);
        try {
            if (*info != hard && *info != soft) {
                search.found = std::string("the link ") + name;
            } else if (*info == hard && search.has_external_storage(group, name)) {
                search.found = std::string("the values of ") + name;
            }
            return search.found.empty() ? 0 : 1;
        } catch (...) {
            return -1;
        }
    }

private:
    [[nodiscard]] bool has_external_storage(Id group, const char* name) const {
        constexpr int dataset = 5, virtual_layout = 3;
        const Id object = hdf5.open_object(group, name, 0);
        if (object < 0) return false;
        bool elsewhere = false;
        if (hdf5.type_of(object) == dataset) {
            const Id creation = hdf5.creation_of(object);
            elsewhere = creation >= 0 &&
                        (hdf5.layout_of(creation) == virtual_layout || hdf5.external_files_of(creation) > 0);
            if (creation >= 0) hdf5.close_list(creation);
        }
        hdf5.close_object(object);
        return elsewhere;
    }
};

} // namespace

void refuse_links_of_hdf5(const std::string& name, const std::string& file) {
    if (!is_hdf5(name)) return;
    quieten_hdf5();
    static const Hdf5 hdf5;
    if (!hdf5.complete()) return; // then GDAL cannot open it either
    const Id opened = hdf5.open_file(name.c_str(), 0, 0);
    if (opened < 0) return; // GDAL says why
    Search search{hdf5, {}};
    constexpr int by_name = 0, native_order = 2;
    const int end = hdf5.visit_links(opened, by_name, native_order, &Search::look_at, &search);
    hdf5.close_file(opened);
    if (!search.found.empty()) {
        throw InputError(file, "keeps " + search.found + " in another file",
                         "write it to one file: h5repack IN OUT, or gdal_translate to a GeoTIFF");
    }
    if (end < 0) throw IoError(file, "cannot be read: its groups and links are broken");
}

} // namespace swingroom::bathymetry
