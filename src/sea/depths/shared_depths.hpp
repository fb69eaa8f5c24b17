#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/warning.hpp"

#include <cstdint>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// Hands on what another source holds, which outlives it: a part's source that is the whole sea's.
class SharedDepths final : public DepthSource {
public:
    explicit SharedDepths(std::shared_ptr<const DepthSource> lender) : lender_(std::move(lender)) {}
    [[nodiscard]] const Grid& grid() const override { return lender_->grid(); }
    void read(Window where, DepthPlanes& depths) const override { lender_->read(where, depths); }
    void read_with_parts(Window where, DepthPlanes& depths) const override {
        lender_->read_with_parts(where, depths);
    }
    [[nodiscard]] std::int64_t decoded_bytes(Window where) const override {
        return lender_->decoded_bytes(where);
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return lender_->greatest_uncertainty_m(); }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return lender_->assumptions(); }
    [[nodiscard]] std::vector<Warning> doubts() const override { return lender_->doubts(); }
    [[nodiscard]] std::vector<std::string> files() const override { return lender_->files(); }
    [[nodiscard]] std::vector<std::string> sources() const override { return lender_->sources(); }
    [[nodiscard]] std::vector<SurveyTerms> survey_terms() const override { return lender_->survey_terms(); }

private:
    std::shared_ptr<const DepthSource> lender_;
};

} // namespace swingroom
