"""What the cells of an invented coast have in common: areas of depth, their coast, and soundings."""

from charting import topology
from charting.s57 import tenths_shoaler

LAND = ("LNDARE", ())


def depth_label(levels_m, deepest_m, band):
    """Object class and attributes of what lies between two contours; the highest band is land."""
    if band == 0:
        return LAND
    bounds = [*levels_m, deepest_m]
    return "DEPARE", (("DRVAL1", bounds[band - 1]), ("DRVAL2", bounds[band]))


def add_faces(cell, faces):
    for (acronym, attributes), rings in faces:
        cell.area(acronym, rings, dict(attributes))


def coast(faces, limit, kind_of):
    """Open and closed paths along the land, cut where the cell ends and where `kind_of` a segment changes."""
    paths = []
    for label, rings in faces:
        if label == LAND:
            for ring in rings:
                paths += topology.runs(ring, lambda a, b: None if frozenset((a, b)) in limit else kind_of(a, b))
    return [(kind, path) for kind, path in paths if kind is not None]


def soundings(survey, position, window_m, spacing_m):
    """The shoalest depth of each square of `spacing_m`, where it is, on the shoal side."""
    west, south, east, north = window_m
    found = {}
    for y in range(south, north, spacing_m):
        for x in range(west, east, spacing_m):
            depth, place = survey.shoalest(x, y, x + spacing_m, y + spacing_m)
            if -2.5 <= depth < float("inf"):
                found[position(*place)] = tenths_shoaler(depth)
    return [(*place, depth) for place, depth in sorted(found.items())]
