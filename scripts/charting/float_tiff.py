"""Reads a GeoTIFF of the one kind that scripts/make-testdata writes: little-endian, tiled, 32-bit floats, deflated with
the floating-point predictor (TIFF 6.0; Adobe Photoshop TIFF Technical Note 3). Anything else is refused."""

import struct
import zlib
from array import array
from itertools import accumulate

COLS, ROWS, COMPRESSION, TILE_COLS, TILE_ROWS, TILE_OFFSETS, TILE_SIZES = 256, 257, 259, 322, 323, 324, 325
PREDICTOR, DEFLATE, FLOATING_POINT = 317, 8, 3
TYPES = {3: "H", 4: "I"}  # the two types that those tags have


def tags(data):
    order, magic, start = struct.unpack_from("<2sHI", data)
    if (order, magic) != (b"II", 42):
        raise ValueError("not a little-endian TIFF")
    found = {}
    for n in range(struct.unpack_from("<H", data, start)[0]):
        entry = start + 2 + 12 * n
        tag, kind, count = struct.unpack_from("<HHI", data, entry)
        if kind in TYPES:
            form = f"<{count}{TYPES[kind]}"
            place = entry + 8 if struct.calcsize(form) <= 4 else struct.unpack_from("<I", data, entry + 8)[0]
            found[tag] = struct.unpack_from(form, data, place)
    return found


def floats(row):
    """Undoes the predictor: differences between bytes, which lie sorted by significance."""
    summed = bytes(accumulate(row, lambda a, b: a + b & 0xFF))
    cols = len(row) // 4
    mixed = bytearray(len(row))
    for plane in range(4):
        mixed[3 - plane :: 4] = summed[plane * cols : (plane + 1) * cols]
    return array("f", struct.unpack(f"<{cols}f", mixed))


def read(path):
    """The rows of the raster, from the top."""
    with open(path, "rb") as file:
        data = file.read()
    found = tags(data)
    if found[COMPRESSION] != (DEFLATE,) or found[PREDICTOR] != (FLOATING_POINT,):
        raise ValueError(f"{path}: not deflated with the floating-point predictor")
    (cols,), (rows,), (tile_cols,), (tile_rows,) = (found[tag] for tag in (COLS, ROWS, TILE_COLS, TILE_ROWS))
    raster = [array("f") for _ in range(rows)]
    across = -(-cols // tile_cols)
    for number, (place, size) in enumerate(zip(found[TILE_OFFSETS], found[TILE_SIZES])):
        tile = zlib.decompress(data[place : place + size])
        first = number // across * tile_rows
        for n, row in enumerate(raster[first : first + tile_rows]):
            row.extend(floats(tile[n * tile_cols * 4 : (n + 1) * tile_cols * 4]))
    return [row[:cols] for row in raster]
