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
/// Of figures with deflate 1, layer by layer: bits a cell, nanoseconds to write one and to read it back by
/// GDAL, 2 of which are libtiff's for adding up differences:
///
///                         as they are         differences
///     spare_short         5.6  11.7   3.8     4.2  14.0   5.0
///     depth_low           3.6  11.6   3.7     2.8  13.4   5.1
///     ground_room         3.1   9.7   2.3     2.3  12.1   4.0
///     hull_room           2.7   9.2   2.3     1.8  11.5   3.6
///     radius_short        1.7   7.2   2.4     1.5  11.7   3.5
///     wind_limit_short    0.6   6.8   1.6     0.6  11.1   2.9
///     rode_full           0.4   4.7   2.1     0.4  11.4   2.8
///
/// Differences of the bytes of floats, plane by plane (predictor 3), want level 2, which is quicker with
/// zeros: depth_low 2.2 bits, 13.4 and 3.0 ns, spare_short 3.9, 15.7 and 3.9, wind_limit_short 0.6, 9.6
/// and 2.4. That is a third of the bits less of what is bulky for a fourth more of the time. Without
/// differences level 2 saves a twentieth to a sixth of the bits in half as much time again.
///
/// Differences make zeros of what is the same all over, which libdeflate takes longest for: so none with
/// deflate, a tenth of the time of a run of all layers for a fifth of its bytes. Whoever asks for zstd wants
/// few bytes, and gets differences of figures. Of classes deflate 5, which looks further back and is no
/// slower.
TileCoding coding_of(CellType type, Compression compression) {
    const bool is_of_figures = type == CellType::float32;
    const bool looks_far = compression == Compression::deflate && !is_of_figures;
    return {compression, looks_far ? 5 : 1, is_of_figures && compression == Compression::zstd};
}

} // namespace swingroom
