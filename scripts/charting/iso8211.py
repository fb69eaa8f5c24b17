"""Writes files by ISO/IEC 8211, as far as S-57 uses it (IHO S-57 Edition 3.1, Part 3, clauses 2 and 7, Annex A).

A file is a data descriptive record (DDR), which says what fields there are and how their bytes are to be read, and then
data records. A record is a leader of 24 bytes, a directory (tag, length and place of each field), and the fields.
"""

import re
import struct
from typing import NamedTuple

UNIT, FIELD = b"\x1f", b"\x1e"  # what ends a subfield of open length, and a field

INTEGERS = {"b11": "<B", "b12": "<H", "b14": "<I", "b21": "<b", "b22": "<h", "b24": "<i", "b48": "<d"}
# Lexical level of a field -> truncated escape sequence of its controls, and how its text is encoded.
# Level 2 has terminators of two bytes (Part 3, clause 2.5). UTF-8 is no level of S-57.
LEVELS = {0: ("   ", "ascii"), 1: ("-A ", "latin-1"), 2: ("%/A", "utf-16-le"), "UTF-8": ("%/G", "utf-8")}


class Field(NamedTuple):
    """The description of a field. Labels that start with * repeat."""

    tag: str
    controls: str  # structure and type of its data: 1600 is a row of mixed types, 2600 a table of them, 2500 of binaries
    title: str
    labels: str
    format: str
    level: int | str = 0

    def description(self):
        escape, _ = LEVELS[self.level]
        return UNIT.join(part.encode("ascii") for part in (self.controls + ";&" + escape + self.title, self.labels,
                                                           self.format)) + FIELD

    def data(self, rows):
        """One row of values, or for a field that repeats any number of rows."""
        kinds = expand(self.format)
        values = (pair for row in rows for pair in zip(kinds, row, strict=True))
        return b"".join(subfield(kind, value, self.level) for kind, value in values) + terminator(FIELD, self.level)


def expand(form):
    """"(b11,2A(8))" -> ["b11", "A(8)", "A(8)"]"""
    kinds = []
    for times, kind in re.findall(r"(\d*)([ARB](?:\(\d+\))?|b\d\d)", form):
        kinds += [kind] * int(times or 1)
    return kinds


def terminator(mark, level):
    return mark + b"\0" if level == 2 else mark


def subfield(kind, value, level):
    if kind in INTEGERS:
        return struct.pack(INTEGERS[kind], value)
    width = re.fullmatch(r"([ARB])\((\d+)\)", kind)
    if width is None:
        return value.encode(LEVELS[level][1]) + terminator(UNIT, level)
    if width[1] == "B":  # a width in bits
        if 8 * len(value) != int(width[2]):
            raise ValueError(f"{value!r} does not fill {kind}")
        return value
    if len(value) > int(width[2]):
        raise ValueError(f"{value!r} does not fit {kind}")
    return value.ljust(int(width[2])).encode("ascii")


def digits(numbers):
    return max(len(str(number)) for number in numbers)


def record(leader_kind, fields):
    """`leader_kind`: what the leaders of descriptive or of data records have fixed; `fields`: pairs of tag and bytes."""
    places = [sum(len(data) for _, data in fields[:n]) for n in range(len(fields))]
    length_size, place_size = digits(len(data) for _, data in fields), digits(places)
    directory = "".join(f"{tag}{len(data):0{length_size}}{place:0{place_size}}"
                        for (tag, data), place in zip(fields, places))
    base = 24 + len(directory) + 1
    length = base + sum(len(data) for _, data in fields)
    if length > 99999:
        raise ValueError(f"a record of {length} bytes is too long for its leader")
    identity, controls = leader_kind
    leader = f"{length:05}{identity}{base:05}{controls}{length_size}{place_size}04"
    return (leader + directory).encode("ascii") + FIELD + b"".join(data for _, data in fields)


def descriptive_record(fields, tree):
    """`tree`: pairs of tags, parent and child, in the order of a walk through the tree of fields."""
    control = ("0000;&   " + "\x1f" + "".join(parent + child for parent, child in tree)).encode("ascii") + FIELD
    return record(("3LE1 09", " ! "), [("0000", control)] + [(field.tag, field.description()) for field in fields])


def data_record(fields):
    return record((" D     ", "   "), fields)
