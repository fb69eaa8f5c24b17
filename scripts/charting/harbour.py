"""QQ5HAVEN: the haven at 1:10 000 with every kind of object that matters to an anchor, and its first update."""

from charting import areas, haven, s57
from charting.lattice import Lattice, without_corner_contacts
from charting.s57 import Cell, Spatial, Update
from charting.survey import box, position, positions, ring

PITCH_M = 10
LEVELS_M, DEEPEST_M = [-2.5, 0, 2, 5, 10, 20], 30
DREDGED_TO_M, DREDGED_WITHIN_M, DREDGED_NORTH_OF_M = 4.5, 35.0, 600  # within: of the middle of the channel
POOR_SURVEY_FROM_M = (1000, 800)  # the north-eastern corner
QUAY_M = (640, 900, 1090, 1160)  # west, east, south, north
CABLE_MARGIN_M = 60


def window(square):
    west, south = square[0] * PITCH_M, square[1] * PITCH_M
    return west, south, west + PITCH_M, south + PITCH_M


def distance_m(point, a, b):
    (x, y), (ax, ay), (bx, by) = point, a, b
    dx, dy = bx - ax, by - ay
    t = min(1, max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)))
    return ((x - ax - t * dx) ** 2 + (y - ay - t * dy) ** 2) ** 0.5


def dredged_squares(lattice):
    def in_channel(square):
        centre = lattice.centre_m(square)
        legs = zip(haven.CHANNEL_LINE, haven.CHANNEL_LINE[1:])
        return min(distance_m(centre, a, b) for a, b in legs) < DREDGED_WITHIN_M and centre[1] > DREDGED_NORTH_OF_M

    return without_corner_contacts({square for square, depth in lattice.squares_m.items()
                                    if depth >= DREDGED_TO_M and in_channel(square)})


def seabed(survey):
    lattice = Lattice(0, 0, PITCH_M, int(haven.WIDTH_M) // PITCH_M, int(haven.HEIGHT_M) // PITCH_M,
                      lambda i, j: min(survey.shoalest(*window((i, j)))[0], DEEPEST_M - 1), LEVELS_M, position)
    dredged = dredged_squares(lattice)
    unsurveyed = {s for s in lattice.squares_m if not survey.wholly_surveyed(*window(s))}

    def label(square, band):
        if square in unsurveyed:
            return "UNSARE", ()
        if square in dredged:
            return "DRGARE", (("DRVAL1", DREDGED_TO_M), ("OBJNAM", "Channel to the quay"))
        return areas.depth_label(LEVELS_M, DEEPEST_M, band)

    return lattice, lattice.faces(label)


def add_quality(cell, lattice):
    """Meta objects over all of the cell."""
    (_, whole), = lattice.faces(lambda square, band: True)
    cell.coverage(whole, 1)
    cell.area("M_NSYS", whole, {"MARSYS": 1})

    def zone(square, _):
        x, y = lattice.centre_m(square)
        return 4 if x > POOR_SURVEY_FROM_M[0] and y > POOR_SURVEY_FROM_M[1] else 2  # C, A2

    for category, rings in lattice.faces(zone):
        cell.area("M_QUAL", rings, {"CATZOC": category})


def add_coast(cell, faces):
    west, east, south, north = QUAY_M
    (left, bottom), (right, top) = position(west, south), position(east, north)

    def kind_of(*segment):
        return "SLCONS" if all(left < x < right and bottom < y < top for x, y in segment) else "COALNE"

    for kind, path in areas.coast(faces, cell.limit, kind_of):
        cell.line(kind, path, {"CATSLC": 4, "OBJNAM": "Old Quay"} if kind == "SLCONS" else {})


def add_dangers(cell, survey):
    """The dangers that the update changes are handed back."""
    changed = {}
    cell.area("WRECKS", [ring(*haven.WRECK[:0:-1])],
              {"CATWRK": 2, "WATLEV": 3, "VALSOU": survey.least_sounding_m(haven.WRECK), "QUASOU": 6,
               "OBJNAM": "Lighter"})
    cell.point("WRECKS", position(620, 330), {"CATWRK": 2, "WATLEV": 3, "INFORM": "Depth unknown"})
    changed["wreck"] = cell.point("WRECKS", position(1300, 330), {"CATWRK": 1, "WATLEV": 3, "VALSOU": 4.1, "EXPSOU": 2})
    cell.point("UWTROC", position(*haven.ROCK),
               {"WATLEV": 4, "VALSOU": haven.ROCK_DEPTH_M, "OBJNAM": "Old Anvil"}, Spatial(posacc=5))
    cell.area("OBSTRN", [box(150, 330, 240, 400)], {"CATOBS": 7, "WATLEV": 3, "INFORM": "Foul ground: old chain"})
    cell.point("OBSTRN", position(460, 960), {"CATOBS": 6, "WATLEV": 3})
    # Its place is known to 25 m only.
    changed["obstruction"] = cell.point("OBSTRN", position(760, 330), {"QUASOU": 7, "VALSOU": 4.5, "WATLEV": 3},
                                        Spatial(posacc=25, quapos=4))
    return changed


def add_laid_things(cell):
    cell.line("CBLSUB", positions(haven.CABLE[:-1] + [(500, 0)]), {"CATCBL": 1, "OBJNAM": "Cable to the west head"})
    cell.line("PIPSOL", positions([(1230, 505), (1225, 400), (1215, 330)]), {"CATPIP": 4, "INFORM": "Outfall"})
    cell.line("CBLOHD", positions([(620, 640), (860, 640)]), {"CATCBL": 1, "VERCLR": 14, "VERCSA": 12})
    cell.line("BRIDGE", positions([(600, 620), (860, 620)]), {"CATBRG": 1, "VERCLR": 11})
    for number, block in enumerate(haven.MOORING_BLOCKS[:4], start=1):
        cell.point("MORFAC", position(*block), {"CATMOR": 7, "BOYSHP": 3, "OBJNAM": f"Mooring {number}"})
    for block in haven.MOORING_BLOCKS[4:]:
        cell.point("OBSTRN", position(*block), {"CATOBS": 9, "WATLEV": 3, "INFORM": "Old mooring block"})


def add_regulated_areas(cell):
    cell.area("FAIRWY", [ring(*haven.FAIRWAY[:-1])], {"OBJNAM": "Channel to the quay"})
    (ax, ay), (bx, by) = haven.CABLE[4], haven.CABLE[5]
    m = CABLE_MARGIN_M
    cell.area("RESARE", [ring((bx - m, by), (bx + m, by), (ax + m, ay), (ax - m, ay))],
              {"RESTRN": 1, "OBJNAM": "Cable ground"})
    cell.area("RESARE", [box(860, 770, 1010, 940)], {"RESTRN": 27, "OBJNAM": "Moorings: slow speed"})
    cell.area("RESARE", [box(250, 1000, 330, 1040)], {"CATREA": 4, "OBJNAM": "Reed beds"})
    cell.area("ACHARE", [box(290, 840, 440, 960)], {"CATACH": 7, "OBJNAM": "Pool"})
    cell.point("ACHBRT", position(940, 430), {"CATACH": 1, "RADIUS": 80, "OBJNAM": "Roads A"})
    cell.area("CTNARE", [box(560, 480, 640, 560)], {"INFORM": "Strong eddies on the ebb"})
    cell.area("DMPGRD", [box(60, 40, 260, 140)], {"CATDPG": 5})


def add_bottom(cell):
    cell.area("SBDARE", [ring(*haven.SOFT[:-1])], {"NATSUR": 1})
    # The haven's sand, kept within the cell.
    cell.area("SBDARE", [ring((0, 130), (1400, 130), (1400, 380), (1180, 400), (1180, 520), (900, 560), (560, 560),
                              (0, 520))], {"NATSUR": 4})
    cell.area("SBDARE", [ring((1180, 400), (1400, 380), (1400, 520), (1180, 520))], {"NATSUR": "4,9"})
    cell.point("SBDARE", position(935, 865), {"NATSUR": "1,4"})
    cell.point("SBDARE", position(700, 80), {"NATSUR": 17})
    cell.area("WEDKLP", [box(1020, 420, 1140, 480)], {"CATWED": 3})


def add_marks(cell):
    buoy_at = position(655, 470)
    buoy = cell.point("BOYLAT", buoy_at, {"BOYSHP": 2, "CATLAM": 1, "COLOUR": 3, "OBJNAM": "Haven No 2"})
    light = cell.point("LIGHTS", buoy_at, {"COLOUR": 3, "LITCHR": 2, "SIGPER": 4})
    buoy.related.append((light, s57.SLAVE))
    starboard = cell.point("BOYLAT", position(770, 470), {"BOYSHP": 1, "CATLAM": 2, "COLOUR": 4, "OBJNAM": "Haven No 1"})
    cell.collection("C_ASSO", {"OBJNAM": "Gate of the channel"}, [buoy, starboard])
    cell.point("SEAARE", position(560, 900), {"OBJNAM": "Ebbering Haven", "NOBJNM": "Ebberinghávn"})


def files(survey):
    """File name -> bytes: the cell and its update."""
    chart, changed = base(survey)
    made = {"QQ5HAVEN.000": chart.bytes()}
    update = Update(chart, 1)
    update.delete(changed["wreck"])
    update.insert_point("UWTROC", position(1120, 330), {"WATLEV": 3, "VALSOU": 3.2, "OBJNAM": "New rock"},
                        Spatial(quapos=4))
    update.modify(changed["obstruction"], {"VALSOU": 3.8})
    made["QQ5HAVEN.001"] = update.bytes()
    return made


def base(survey):
    """The cell as first issued, and those of its features that the update changes."""
    chart = Cell("QQ5HAVEN.000", usage_band=5, scale=10_000)
    lattice, faces = seabed(survey)
    add_quality(chart, lattice)
    areas.add_faces(chart, faces)
    add_coast(chart, faces)
    extent = int(haven.WIDTH_M), int(haven.HEIGHT_M)
    chart.soundings(areas.soundings(survey, position, (0, 0, extent[0], 640), 100), {"TECSOU": 3})
    chart.soundings(areas.soundings(survey, position, (0, 640, *extent), 80), {"TECSOU": 1})
    changed = add_dangers(chart, survey)
    for add in (add_laid_things, add_regulated_areas, add_bottom, add_marks):
        add(chart)
    return chart, changed
