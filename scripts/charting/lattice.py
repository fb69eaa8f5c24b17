"""Depth areas on a lattice: they tile its extent exactly, and nowhere claim more water than there is.

Each square of the lattice knows its shoalest depth; a node takes the shoalest of the squares around it. So nothing that
is interpolated between the corners of a square can be deeper than the shoalest place of the square, and contours may run
through it anywhere. Squares are halved, since in triangles contours are unambiguous: a triangle falls into one convex
piece per band of depth. Pieces that share an edge and a label then grow together to faces."""

import bisect
from collections import defaultdict


class Lattice:
    def __init__(self, west_m, south_m, pitch_m, cols, rows, shoalest_in, levels_m, position):
        """`shoalest_in(col, row)`: depth of a square; `levels_m`: contours, ascending; `position(x_m, y_m)`: charted."""
        self.west_m, self.south_m, self.pitch_m, self.cols, self.rows = west_m, south_m, pitch_m, cols, rows
        self.levels_m, self._position, self._charted = levels_m, position, {}
        self.squares_m = {(i, j): shoalest_in(i, j) for i in range(cols) for j in range(rows)}
        self.nodes_m = {(i, j): min(self.squares_m[s] for s in ((i - 1, j - 1), (i, j - 1), (i - 1, j), (i, j))
                                    if s in self.squares_m) for i in range(cols + 1) for j in range(rows + 1)}
        self.pieces = [piece for square in self.squares_m for piece in self._pieces_of(square)]

    def centre_m(self, square):
        return self.west_m + (square[0] + 0.5) * self.pitch_m, self.south_m + (square[1] + 0.5) * self.pitch_m

    def band(self, node):
        """0 above the first level, 1 between the first and the second …"""
        return bisect.bisect_right(self.levels_m, self.nodes_m[node])

    def _charted_at(self, i, j):
        if (i, j) not in self._charted:
            self._charted[i, j] = self._position(self.west_m + i * self.pitch_m, self.south_m + j * self.pitch_m)
        return self._charted[i, j]

    def _side(self, a, b):
        """On the way from node a to node b, a included: pairs of charted position and the bands that meet there."""
        points = [(self._charted_at(*a), {self.band(a)})]
        low, high = sorted((a, b), key=lambda node: self.nodes_m[node])
        for level in range(self.band(low), self.band(high)):
            exact = (self.levels_m[level] - self.nodes_m[low]) / (self.nodes_m[high] - self.nodes_m[low])
            # Contours keep away from the nodes, so that no two of them ever meet; anywhere in the square is safe.
            along = 0.05 + 0.9 * exact
            at = (low[0] + (high[0] - low[0]) * along, low[1] + (high[1] - low[1]) * along)
            points.append((self._charted_at(*at), {level, level + 1}))
        return points if low == a else points[:1] + points[:0:-1]

    def _pieces_of(self, square):
        """Anticlockwise convex polygons: square, band, positions."""
        i, j = square
        for corners in (((i, j), (i + 1, j), (i + 1, j + 1)), ((i, j), (i + 1, j + 1), (i, j + 1))):
            around = [point for a, b in zip(corners, corners[1:] + corners[:1]) for point in self._side(a, b)]
            for band in sorted(set().union(*(bands for _, bands in around))):
                yield square, band, [position for position, bands in around if band in bands]

    def faces(self, label_of):
        """Grows pieces together: `label_of(square, band)`, None leaves a piece out.

        Pairs of label and rings, the outer one first; the face lies to the right of its rings, as S-57 has it."""
        labels = [label_of(square, band) for square, band, _ in self.pieces]
        owner = {edge: n for n, (_, _, ring) in enumerate(self.pieces) if labels[n] is not None
                 for edge in zip(ring, ring[1:] + ring[:1])}
        leader = list(range(len(self.pieces)))

        def find(n):
            while leader[n] != n:
                leader[n] = n = leader[leader[n]]
            return n

        def same(n, edge):
            other = owner.get(edge[::-1])
            return other is not None and labels[other] == labels[n]

        for edge, n in owner.items():
            if same(n, edge):
                first, second = sorted((find(n), find(owner[edge[::-1]])))
                leader[second] = first
        borders = defaultdict(dict)
        for edge, n in owner.items():
            if not same(n, edge):
                if edge[1] in borders[find(n)]:
                    raise ValueError(f"a face touches itself at {edge[1]}")
                borders[find(n)][edge[1]] = edge[0]  # turned round: from the left to the right
        return [(labels[n], rings_of(border)) for n, border in sorted(borders.items())]


def twice_area(ring):
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:]))


def rings_of(following):
    """Closed rings from a map of each position to the next; the one that encloses the others first."""
    rings, left = [], dict(following)
    while left:
        ring = [min(left)]
        while len(ring) == 1 or ring[-1] != ring[0]:
            ring.append(left.pop(ring[-1]))
        rings.append(ring)
    return sorted(rings, key=twice_area)  # clockwise is negative


def without_corner_contacts(squares):
    """Takes squares away until none touches another at a corner alone: a face must not touch itself."""
    kept = set(squares)
    for i, j in sorted(squares):
        for up in (1, -1):
            across = kept.isdisjoint({(i + 1, j), (i, j + up)})
            if across and {(i, j), (i + 1, j + up)} <= kept:
                kept.remove((i, j))
    return kept
