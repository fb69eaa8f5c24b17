#pragma once

#include <cpl_error.h>

#include <string>

namespace swingroom {

/// Keeps what GDAL says on this thread while it lives, instead of printing it: return codes alone do not tell
/// every failure. Warnings are dropped.
class GdalErrors {
public:
    GdalErrors() { CPLPushErrorHandlerEx(&GdalErrors::take, this); }
    GdalErrors(const GdalErrors&) = delete;
    GdalErrors& operator=(const GdalErrors&) = delete;
    ~GdalErrors() { CPLPopErrorHandler(); }
    /// The first failure, empty when there was none.
    [[nodiscard]] const std::string& first() const { return first_; }

private:
    static void CPL_STDCALL take(CPLErr level, CPLErrorNum, const char* message) {
        auto* self = static_cast<GdalErrors*>(CPLGetErrorHandlerUserData());
        if ((level == CE_Failure || level == CE_Fatal) && self->first_.empty()) {
            self->first_ = message;
        }
    }
    std::string first_;
};

} // namespace swingroom
