#pragma once

#include <gdal_pam.h>

namespace swingroom {

/// Keeps GDAL from writing beside a file that is only read: from 3.10 on its driver of GeoPackage takes
/// metadata that it has read for changed ones, and leaves them in an .aux.xml beside the user's own file.
/// @param dataset  just opened; may be null
inline void forbid_sidecar(GDALDataset* dataset) {
    if (auto* const with_sidecar = dynamic_cast<GDALPamDataset*>(dataset)) {
        with_sidecar->SetPamFlags(with_sidecar->GetPamFlags() | GPF_NOSAVE);
    }
}

} // namespace swingroom
