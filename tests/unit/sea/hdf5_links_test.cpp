// Files that are made with HDF5's own functions: GDAL makes none of the kind. They are asked for by name,
// since HDF5 is there only if GDAL was built with it.

#include "swingroom/base/error.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "sea/gdal/gdal_start.hpp"
#include "sea/gdal/raster_references.hpp"
#include "support/scratch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdint>
#include <dlfcn.h>
#include <functional>
#include <string>

namespace swingroom::bathymetry {
namespace {

using testing::HasSubstr;
using testing_support::Scratch;
using Id = std::int64_t;

template <class Result, class... Arguments>
Result call(const char* name, Arguments... arguments) {
    return reinterpret_cast<Result (*)(Arguments...)>(dlsym(RTLD_DEFAULT, name))(arguments...);
}

Id constant(const char* name) { return *static_cast<Id*>(dlsym(RTLD_DEFAULT, name)); }

class Hdf5Links : public testing::Test {
protected:
    void SetUp() override {
        start_gdal();
        if (!dlsym(RTLD_DEFAULT, "H5Fcreate")) GTEST_SKIP() << "this GDAL has no HDF5";
        ASSERT_EQ(call<int>("H5open"), 0);
    }

    /// A file with one group, filled by `fill`.
    std::string made(const std::function<void(Id group)>& fill) const {
        const std::string file = scratch / "made.h5";
        const Id id = call<Id>("H5Fcreate", file.c_str(), 2U, Id{0}, Id{0}); // replaces what was there
        const Id group = call<Id>("H5Gcreate2", id, "group", Id{0}, Id{0}, Id{0});
        fill(group);
        call<int>("H5Gclose", group);
        call<int>("H5Fclose", id);
        return file;
    }
    static void add_values(Id group, const char* name, Id creation) {
        const std::array<std::uint64_t, 2> size = {4, 4};
        const Id space =
            call<Id>("H5Screate_simple", 2, size.data(), static_cast<const std::uint64_t*>(nullptr));
        const Id values =
            call<Id>("H5Dcreate2", group, name, constant("H5T_IEEE_F32LE_g"), space, Id{0}, creation, Id{0});
        EXPECT_GE(values, 0);
        call<int>("H5Dclose", values);
        call<int>("H5Sclose", space);
    }
    static Id creation_list() { return call<Id>("H5Pcreate", constant("H5P_CLS_DATASET_CREATE_ID_g")); }

    static std::string complaint(const std::string& file) {
        try {
            refuse_links_of_hdf5(file, file);
            return "none";
        } catch (const InputError& error) {
            return error.what();
        }
    }

    Scratch scratch;
};

TEST_F(Hdf5Links, ValuesInTheFileItselfAreSound) {
    EXPECT_EQ(complaint(made([](Id group) {
                  add_values(group, "inside", 0);
                  call<int>("H5Lcreate_soft", "inside", group, "again", Id{0}, Id{0});
              })),
              "none");
}

TEST_F(Hdf5Links, ValuesInAnotherFileAreRefused) {
    const std::string file = made([](Id group) {
        const Id creation = creation_list();
        EXPECT_EQ(call<int>("H5Pset_external", creation, "/etc/passwd", std::int64_t{0}, std::uint64_t{64}),
                  0);
        add_values(group, "elevation", creation);
        call<int>("H5Pclose", creation);
    });
    EXPECT_THAT(complaint(file),
                HasSubstr("keeps the values of group/elevation in another file; write it to one"));
    BathymetryRequest request;
    request.file = file;
    EXPECT_THROW(open_bathymetry(request), InputError);
}

TEST_F(Hdf5Links, LinksToOtherFilesAreRefused) {
    EXPECT_THAT(complaint(made([](Id group) {
                    EXPECT_EQ(call<int>("H5Lcreate_external", "/elsewhere.h5", "/values", group, "values",
                                        Id{0}, Id{0}),
                              0);
                })),
                HasSubstr("keeps the link group/values in another file"));
}

TEST_F(Hdf5Links, ValuesPutTogetherOfOtherFilesAreRefused) {
    const auto file = made([](Id group) {
        const std::array<std::uint64_t, 2> size = {4, 4};
        const Id space =
            call<Id>("H5Screate_simple", 2, size.data(), static_cast<const std::uint64_t*>(nullptr));
        const Id creation = creation_list();
        EXPECT_EQ(call<int>("H5Pset_virtual", creation, space, "/elsewhere.h5", "/values", space), 0);
        add_values(group, "elevation", creation);
        call<int>("H5Pclose", creation);
        call<int>("H5Sclose", space);
    });
    EXPECT_THAT(complaint(file), HasSubstr("keeps the values of group/elevation in another file"));
}

TEST_F(Hdf5Links, OtherFilesAreNotLookedThrough) {
    EXPECT_EQ(complaint(SWINGROOM_TESTDATA "/haven/bathymetry.tif"), "none");
}

} // namespace
} // namespace swingroom::bathymetry
