#pragma once

#include <cpl_error.h>

#include <algorithm>
#include <cctype>
#include <string>
#include <utility>

namespace swingroom {

/// Keeps GDAL's messages off stderr while it lives, and the first failure for ours.
class GdalMessages {
public:
    GdalMessages() {
        CPLErrorReset();
        CPLPushErrorHandlerEx(&GdalMessages::take, this);
    }
    ~GdalMessages() { CPLPopErrorHandler(); }
    GdalMessages(const GdalMessages&) = delete;
    GdalMessages& operator=(const GdalMessages&) = delete;

    [[nodiscard]] bool failed() const { return !failure_.empty(); }
    /// The first failure as one line; forgets it.
    std::string failure() { return std::exchange(failure_, {}); }

private:
    static void CPL_STDCALL take(CPLErr severity, CPLErrorNum, const char* message) {
        auto& self = *static_cast<GdalMessages*>(CPLGetErrorHandlerUserData());
        if (severity < CE_Failure || self.failed()) return;
        self.failure_ = message && *message ? message : "unknown failure";
        std::replace_if(
            self.failure_.begin(), self.failure_.end(),
            [](char c) { return std::iscntrl(static_cast<unsigned char>(c)) != 0; }, ' ');
    }
    std::string failure_;
};

} // namespace swingroom
