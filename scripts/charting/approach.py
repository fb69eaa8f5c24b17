"""QQ3APPRO: the sea off the haven at 1:90 000, coarser than QQ5HAVEN, reaching beyond it, and in part coded in ways of
old editions."""

from bisect import bisect

from charting import areas, haven
from charting.lattice import Lattice
from charting.s57 import Cell, Spatial, tenths_shoaler
from charting.survey import LAND_M, box, position, positions

PITCH_M = 100
WEST_M, SOUTH_M, COLS, ROWS = -2000, -3000, 56, 54
LEVELS_M, DEEPEST_M = [-2.5, 0, 5, 10, 20, 30], 50
NO_DATA_EAST_OF_M, NO_DATA_SOUTH_OF_M = 2900, -2300  # a corner that other charts cover

# Beyond the raster: northing of the shore by easting, depth by distance from it, and a bank.
SHORE = [(-2000, 720), (-1200, 560), (-400, 500), (1800, 505), (2400, 640), (3000, 430), (3600, 560)]
PROFILE = [(0, 0), (20, 5), (170, 6), (240, 14), (350, 25), (3600, 42)]
SOUNDED_M = [(-1700, -400), (-1500, -2600), (-900, -1100), (500, -900), (1900, -700), (2500, -1900)]
BANK_CENTRE, BANK_TOP_M, BANK_SLOPE = (-900, -1100), 4.0, 0.05


def interpolated(x, line):
    n = min(max(bisect(line, (x,)), 1), len(line) - 1)
    (x0, y0), (x1, y1) = line[n - 1 : n + 1]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def depth_off_the_raster(x, y):
    to_shore = interpolated(x, SHORE) - y
    if to_shore < 0:
        return LAND_M
    from_bank = ((x - BANK_CENTRE[0]) ** 2 + (y - BANK_CENTRE[1]) ** 2) ** 0.5
    return min(interpolated(to_shore, PROFILE), BANK_TOP_M + from_bank * BANK_SLOPE)


def shoalest_in(survey, i, j):
    """Of a square of the lattice: it lies wholly on the raster or off it."""
    x, y = WEST_M + i * PITCH_M, SOUTH_M + j * PITCH_M
    if 0 <= x < haven.WIDTH_M and 0 <= y < haven.HEIGHT_M:
        return survey.shoalest(x, y, x + PITCH_M, y + PITCH_M)[0]
    return min(depth_off_the_raster(x + a * PITCH_M, y + b * PITCH_M) for a in (0, 0.5, 1) for b in (0, 0.5, 1))


def add_seabed(cell, survey):
    lattice = Lattice(WEST_M, SOUTH_M, PITCH_M, COLS, ROWS, lambda i, j: shoalest_in(survey, i, j), LEVELS_M, position)

    def covered(square):
        x, y = lattice.centre_m(square)
        return not (x > NO_DATA_EAST_OF_M and y < NO_DATA_SOUTH_OF_M)

    for category, rings in lattice.faces(lambda square, _: 1 if covered(square) else 2):
        cell.coverage(rings, category)
    (_, whole), = lattice.faces(lambda square, _: covered(square) or None)
    cell.area("M_NSYS", whole, {"MARSYS": 1})
    cell.area("M_QUAL", whole, {"CATZOC": 5})

    def label(square, band):
        return areas.depth_label(LEVELS_M, DEEPEST_M, band) if covered(square) else None

    faces = lattice.faces(label)
    areas.add_faces(cell, faces)
    for _, path in areas.coast(faces, cell.limit, lambda *_: "COALNE"):
        cell.line("COALNE", path, {})
    cell.soundings([(*position(*place), tenths_shoaler(depth_off_the_raster(*place))) for place in SOUNDED_M], {})


def files(survey):
    """File name -> bytes."""
    cell = Cell("QQ3APPRO.000", usage_band=3, scale=90_000)
    add_seabed(cell, survey)
    # The lighter of QQ5HAVEN, as a coarser chart places it.
    cell.point("WRECKS", position(1110, 430), {"CATWRK": 2, "WATLEV": 3, "VALSOU": 2, "OBJNAM": "Lighter"},
               Spatial(quapos=4))
    cell.point("WRECKS", position(-300, -1800), {"CATWRK": 1, "WATLEV": 3, "QUASOU": 2})
    # On from where QQ5HAVEN's cable is at sea, over the edge of that cell.
    cell.line("CBLSUB", positions([haven.CABLE[5], (500, 0), (300, -1500), (-600, -2900)]), {"CATCBL": 1})
    # As old editions have it: depth areas along a line, and anchoring prohibited by the category alone.
    cell.line("DEPARE", positions([(-1900, 350), (-1500, 300), (-1100, 300)]), {"DRVAL1": 2, "DRVAL2": 5})
    cell.area("RESARE", [box(1800, -200, 2300, 200)], {"CATREA": 2})
    cell.point("SBDARE", position(500, -600), {"NATSUR": 4})
    cell.point("SEAARE", position(700, -1600), {"OBJNAM": "Ebbering Roads"})
    return {cell.file_name: cell.bytes()}
