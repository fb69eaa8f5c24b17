#pragma once

#include <cpl_error.h>

#include <algorithm>
#include <cctype>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// While it lives, GDAL's messages on this thread are kept here instead of printed: return codes alone do not
/// tell every failure.
class GdalMessages {
public:
    /// Whether a warning means that something was lost.
    using IsFailure = bool (*)(std::string_view warning);

    /// Begins to keep them.   @param is_failure  null: no warning means that
    explicit GdalMessages(IsFailure is_failure = nullptr) : is_failure_(is_failure) {
        CPLPushErrorHandlerEx(&GdalMessages::take, this);
    }
    ~GdalMessages() { CPLPopErrorHandler(); }
    GdalMessages(const GdalMessages&) = delete;
    GdalMessages& operator=(const GdalMessages&) = delete;

    /// Whether there has been an error, or a warning that means a loss.
    [[nodiscard]] bool failed() const { return !failure_.empty(); }
    /// The first failure, on one line; empty if there was none.
    [[nodiscard]] const std::string& failure() const { return failure_; }
    /// Warnings, each on one line; the first few, a broken file has many.
    [[nodiscard]] const std::vector<std::string>& warnings() const { return warnings_; }

private:
    static void CPL_STDCALL take(CPLErr severity, CPLErrorNum, const char* message) {
        constexpr std::size_t few = 3;
        auto& self = *static_cast<GdalMessages*>(CPLGetErrorHandlerUserData());
        const bool lost = severity >= CE_Failure || (severity == CE_Warning && self.is_failure_ && message &&
                                                     self.is_failure_(message));
        if (severity == CE_Warning && !lost && self.warnings_.size() < few) {
            self.warnings_.push_back(one_line(message));
        }
        if (lost && !self.failed()) self.failure_ = one_line(message);
    }
    static std::string one_line(const char* message) {
        std::string text = message && *message ? message : "unknown failure";
        std::replace_if(
            text.begin(), text.end(), [](char c) { return std::iscntrl(static_cast<unsigned char>(c)) != 0; },
            ' ');
        return text;
    }
    IsFailure is_failure_;
    std::string failure_;
    std::vector<std::string> warnings_;
};

} // namespace swingroom
