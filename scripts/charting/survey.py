"""The raster of Ebbering Haven as whoever charts it sees it: the shoalest depth in a window, positions in degrees."""

from charting import float_tiff, haven, s57, utm

LAND_M = -3.0  # depth of what the raster leaves out because it is too high
WITHOUT_DEPTH = float("inf")


def position(x_m, y_m):
    """Metres from the raster's lower left corner to whole 1e-7 degrees, east and north."""
    lon_lat = utm.lon_lat(haven.UTM_ZONE, haven.WEST + x_m, haven.SOUTH + y_m)
    return tuple(round(degrees * s57.COMF) for degrees in lon_lat)


def positions(points_m):
    return [position(*point) for point in points_m]


def ring(*points_m):
    """A closed ring, given anticlockwise, with its area to the right."""
    return positions([*points_m, points_m[0]])[::-1]


def box(west, south, east, north):
    return ring((west, south), (east, south), (east, north), (west, north))


def in_hole(x_m, y_m):
    (east, north), radius = haven.HOLE_CENTRE, haven.HOLE_RADIUS_M
    return (x_m - east) ** 2 + (y_m - north) ** 2 < radius**2


class Survey:
    def __init__(self, path):
        """Chart depths by row from the south; what has none is land, or the hole that the survey left."""
        def depth(elevation, i, j):
            if elevation != haven.NODATA:
                return -elevation
            return WITHOUT_DEPTH if in_hole((i + 0.5) * haven.CELL_M, (j + 0.5) * haven.CELL_M) else LAND_M

        self.rows = [[depth(elevation, i, j) for i, elevation in enumerate(row)]
                     for j, row in enumerate(reversed(float_tiff.read(path)))]

    def _window(self, west_m, south_m, east_m, north_m):
        """Cells that lie within or touch: pairs of depth and centre."""
        for j in range(max(0, int(south_m // haven.CELL_M) - 1), min(haven.ROWS, int(north_m // haven.CELL_M) + 1)):
            for i in range(max(0, int(west_m // haven.CELL_M) - 1), min(haven.COLS, int(east_m // haven.CELL_M) + 1)):
                yield self.rows[j][i], ((i + 0.5) * haven.CELL_M, (j + 0.5) * haven.CELL_M)

    def shoalest(self, *window_m):
        """Depth and place of the shoalest cell: one that has no depth never is, where another has."""
        return min(self._window(*window_m))

    def least_sounding_m(self, points_m):
        """Of the window round some points, in whole tenths."""
        xs, ys = zip(*points_m)
        return s57.tenths_shoaler(self.shoalest(min(xs), min(ys), max(xs), max(ys))[0]) / s57.SOMF

    def wholly_surveyed(self, *window_m):
        return all(depth != WITHOUT_DEPTH for depth, _ in self._window(*window_m))
