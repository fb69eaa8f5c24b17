#include "publish/raster/layer_coding.hpp"

namespace swingroom {

/// Measured on the made coast of scripts/benchmark, 4096 x 4096 cells, tiles of more than one value, GDAL 3.6
/// with libdeflate; bits a cell and nanoseconds a cell to write, reading is at most 4:
///
///                            deflate 1    deflate 5    deflate 6    zstd 1      zstd 3
///     classes                0.18  3.4    0.13  2.7    0.13  3.7    0.13 0.6    0.13 0.7
///     ... differences        0.17  4.2    0.16  3.2    0.15  3.7    0.14 1.1    0.16 1.2
///     sets of bits           0.09  3.9    0.08  4.0    0.08  4.8    0.06 0.6
///     ... differences        0.10  7.0    0.10  5.0    0.09  5.1    0.08 1.4
///     figures                8.5    14    8.0    23    8.0    28    8.5    7    7.9   15
///     ... differences        7.9    20    7.5    26    7.5    32    7.6   10    7.0   16
///     figures by 1/16        3.9     9    3.4    24    3.3    27    3.5    7
///     ... differences        3.0    16    2.5    27    2.4    34    2.8    7
///
/// So differences for figures alone; of classes deflate 5, which looks further back and is no slower.
TileCoding coding_of(CellType type, Compression compression) {
    const bool is_of_figures = type == CellType::float32;
    const bool looks_far = compression == Compression::deflate && !is_of_figures;
    return {compression, looks_far ? 5 : 1, is_of_figures};
}

} // namespace swingroom
