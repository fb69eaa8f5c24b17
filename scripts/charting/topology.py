"""Cuts rings and lines into chains, so that what runs along the same points is written once.

A path is a list of positions; a closed one ends where it begins. Positions are compared exactly, hence whole numbers."""


def junctions(paths):
    """Where chains must meet: the ends of open paths, and where two paths part."""
    found, around = set(), {}
    for path in paths:
        closed = path[0] == path[-1]
        inner = zip([path[-2]] + path, path, path[1:]) if closed else zip(path, path[1:], path[2:])
        if not closed:
            found.update((path[0], path[-1]))
        for before, here, after in inner:
            pair = frozenset((before, after))
            if around.setdefault(here, pair) != pair:
                found.add(here)
    return found


def rotated(ring, start):
    return ring[start:-1] + ring[: start + 1]


def cut(path, nodes):
    """The chains of a path, each a tuple of positions. A ring without nodes begins at its least position."""
    if path[0] == path[-1] and path[0] not in nodes:
        on_nodes = [n for n, position in enumerate(path) if position in nodes]
        path = rotated(path, on_nodes[0] if on_nodes else path.index(min(path)))
    chains, start = [], 0
    for n in range(1, len(path)):
        if path[n] in nodes or n == len(path) - 1:
            chains.append(tuple(path[start : n + 1]))
            start = n
    return chains


def either_way(chain):
    """The chain as it is stored, and whether it has been turned round for that."""
    turned = chain[::-1]
    return (turned, True) if turned < chain else (chain, False)


def segments(path):
    return {frozenset(pair) for pair in zip(path, path[1:])}


def runs(ring, kind_of):
    """Cuts a ring where `kind_of` a segment (two positions) changes: pairs of kind and path, open unless it is all."""
    kinds = [kind_of(a, b) for a, b in zip(ring, ring[1:])]
    changes = [n for n in range(len(kinds)) if kinds[n] != kinds[n - 1]]
    if not changes:
        return [(kinds[0], ring)]
    ring, kinds = rotated(ring, changes[0]), kinds[changes[0] :] + kinds[: changes[0]]
    found, start = [], 0
    for n in range(1, len(kinds) + 1):
        if n == len(kinds) or kinds[n] != kinds[start]:
            found.append((kinds[start], ring[start : n + 1]))
            start = n
    return found
