#include "swingroom/publish/library_versions.hpp"

#include <boost/version.hpp>
#include <gdal.h>
#include <geos_c.h>
#include <openssl/crypto.h>
#include <proj.h>

namespace swingroom {

std::vector<std::pair<std::string, std::string>> library_versions() {
    return {{"GDAL", GDALVersionInfo("RELEASE_NAME")},
            {"GEOS", GEOSversion()},
            {"PROJ", proj_info().version},
            {"Boost", std::to_string(BOOST_VERSION / 100000) + "." +
                          std::to_string(BOOST_VERSION / 100 % 1000) + "." +
                          std::to_string(BOOST_VERSION % 100)},
            {"OpenSSL", OpenSSL_version(OPENSSL_VERSION_STRING)}};
}

} // namespace swingroom
