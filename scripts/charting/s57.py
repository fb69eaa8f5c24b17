"""Writes electronic chart cells by IHO S-57 Edition 3.1, Part 3 (the records) and Appendix B.1 (the ENC profile).

Topology is chain-node: points are isolated nodes, lines and areas are made of edges between connected nodes, and what
runs along the same points shares an edge. Positions are whole 1e-7 degrees, east and north."""

import math
import struct
from dataclasses import dataclass, field
from typing import NamedTuple

from charting import iso8211, topology
from charting.catalogue import ATTRIBUTES, CLASSES, NATIONAL, SKIN_OF_THE_EARTH
from charting.iso8211 import Field

COMF, SOMF = 10_000_000, 10  # by what coordinates and soundings are multiplied
AGENCY = 65534  # nobody's in IHO S-62, like the QQ that names of cells begin with
ISSUED = "20240101"
CAUTION = "INVENTED PLACE: NOT FOR NAVIGATION"

BASE, UPDATE = (1, 1), (2, 2)  # EXPP and PROF: a new data set by profile EN, a revision by profile ER
INSERT, DELETE, MODIFY = 1, 2, 3
DSID, DSPM, FEATURE, ISOLATED, CONNECTED, EDGE = 10, 20, 100, 110, 120, 130  # RCNM
POINT, LINE, AREA, NO_GEOMETRY = 1, 2, 3, 255
FORWARD, REVERSE, NULL = 1, 2, 255
OUTER, INNER, OUTER_AT_LIMIT = 1, 2, 3  # USAG
BEGINS, ENDS = 1, 2  # TOPI
MASTER, SLAVE, PEER = 1, 2, 3  # RIND

FIELDS = {f.tag: f for f in (
    Field("0001", "0500", "ISO/IEC 8211 Record Identifier", "", "(b12)"),
    Field("DSID", "1600", "Data set identification field",
          "RCNM!RCID!EXPP!INTU!DSNM!EDTN!UPDN!UADT!ISDT!STED!PRSP!PSDN!PRED!PROF!AGEN!COMT",
          "(b11,b14,2b11,3A,2A(8),R(4),b11,2A,b11,b12,A)"),
    Field("DSSI", "1600", "Data set structure information field",
          "DSTR!AALL!NALL!NOMR!NOCR!NOGR!NOLR!NOIN!NOCN!NOED!NOFA", "(3b11,8b14)"),
    Field("DSPM", "1600", "Data set parameter field",
          "RCNM!RCID!HDAT!VDAT!SDAT!CSCL!DUNI!HUNI!PUNI!COUN!COMF!SOMF!COMT", "(b11,b14,3b11,b14,4b11,2b14,A)"),
    Field("VRID", "1600", "Vector record identifier field", "RCNM!RCID!RVER!RUIN", "(b11,b14,b12,b11)"),
    Field("ATTV", "2600", "Vector record attribute field", "*ATTL!ATVL", "(b12,A)"),
    Field("VRPC", "1600", "Vector record pointer control field", "VPUI!VPIX!NVPT", "(b11,2b12)"),
    Field("VRPT", "2600", "Vector record pointer field", "*NAME!ORNT!USAG!TOPI!MASK", "(B(40),4b11)"),
    Field("SGCC", "1600", "Coordinate control field", "CCUI!CCIX!CCNC", "(b11,2b12)"),
    Field("SG2D", "2500", "2-D coordinate field", "*YCOO!XCOO", "(2b24)"),
    Field("SG3D", "2500", "3-D coordinate (sounding array) field", "*YCOO!XCOO!VE3D", "(3b24)"),
    Field("FRID", "1600", "Feature record identifier field",
          "RCNM!RCID!PRIM!GRUP!OBJL!RVER!RUIN", "(b11,b14,2b11,2b12,b11)"),
    Field("FOID", "1600", "Feature object identifier field", "AGEN!FIDN!FIDS", "(b12,b14,b12)"),
    Field("ATTF", "2600", "Feature record attribute field", "*ATTL!ATVL", "(b12,A)", 1),
    Field("NATF", "2600", "Feature record national attribute field", "*ATTL!ATVL", "(b12,A)", 2),
    Field("FFPC", "1600", "Feature record to feature object pointer control field", "FFUI!FFIX!NFPT", "(b11,2b12)"),
    Field("FFPT", "2600", "Feature record to feature object pointer field", "*LNAM!RIND!COMT", "(B(64),b11,A)"),
    Field("FSPC", "1600", "Feature record to spatial record pointer control field", "FSUI!FSIX!NSPT", "(b11,2b12)"),
    Field("FSPT", "2600", "Feature record to spatial record pointer field", "*NAME!ORNT!USAG!MASK", "(B(40),3b11)"),
)}
PARENTS = {"DSID": "0001", "DSSI": "DSID", "DSPM": "0001", "VRID": "0001", "FRID": "0001"}
TREE = [(PARENTS.get(tag, "VRID" if n < list(FIELDS).index("FRID") else "FRID"), tag)
        for n, tag in enumerate(FIELDS) if tag != "0001"]


def one(tag, *values):
    """A field that does not repeat."""
    return tag, [values]


def data_set(records):
    """The bytes of a file; each record is a list of fields: tag and rows of values."""
    numbered = ([one("0001", number)] + record for number, record in enumerate(records, start=1))
    return iso8211.descriptive_record(FIELDS.values(), TREE) + b"".join(
        iso8211.data_record([(tag, FIELDS[tag].data(rows)) for tag, rows in record]) for record in numbered)


def name(kind, number):
    """How one record points at another: its RCNM and RCID."""
    return struct.pack("<BI", kind, number)


def attribute_fields(attributes):
    """ATTF and, for texts in a national language, NATF. Acronyms, or numbers where the catalogue has none."""
    numbered = sorted((ATTRIBUTES.get(key, key), str(value)) for key, value in attributes.items())
    split = {"ATTF": [row for row in numbered if row[0] not in NATIONAL],
             "NATF": [row for row in numbered if row[0] in NATIONAL]}
    return [(tag, rows) for tag, rows in split.items() if rows]


def swapped(positions):
    """Coordinates are stored north first."""
    return [(north, east, *depth) for east, north, *depth in positions]


class Spatial(NamedTuple):
    """Attributes of a position: its accuracy in metres (POSACC) and its quality (QUAPOS), None where not told."""

    posacc: float | None = None
    quapos: int | None = None

    def fields(self):
        rows = [(ATTRIBUTES[key], str(value)) for key, value in (("POSACC", self.posacc), ("QUAPOS", self.quapos))
                if value is not None]
        return [("ATTV", rows)] if rows else []


def node_record(kind, number, positions, spatial=Spatial(), version=1, instruction=INSERT):
    coordinates = "SG3D" if len(positions[0]) == 3 else "SG2D"
    return [one("VRID", kind, number, version, instruction), *spatial.fields(), (coordinates, swapped(positions))]


def edge_record(number, begin, end, between, spatial=Spatial()):
    pointers = [(name(CONNECTED, node), NULL, NULL, topi, NULL) for node, topi in ((begin, BEGINS), (end, ENDS))]
    coordinates = [("SG2D", swapped(between))] if between else []
    return [one("VRID", EDGE, number, 1, INSERT), *spatial.fields(), ("VRPT", pointers), *coordinates]


@dataclass
class Feature:
    number: int  # both RCID and FIDN
    acronym: str | int
    prim: int
    attributes: dict
    paths: list  # of a point: its positions; of a line or an area: lists of positions
    spatial: Spatial = Spatial()
    related: list = field(default_factory=list)  # pairs of feature and RIND

    @property
    def code(self):
        return CLASSES.get(self.acronym, self.acronym)

    def group(self):
        if self.prim == NO_GEOMETRY:
            return NULL
        return 1 if self.prim == AREA and self.acronym in SKIN_OF_THE_EARTH else 2

    def identity(self, version=1, instruction=INSERT):
        return [one("FRID", FEATURE, self.number, self.prim, self.group(), self.code, version, instruction),
                one("FOID", AGENCY, self.number, 1)]

    def long_name(self):
        """How another feature points at this one: AGEN, FIDN and FIDS."""
        return struct.pack("<HIH", AGENCY, self.number, 1)

    def record(self, pointers):
        relations = [("FFPT", [(other.long_name(), rind, "") for other, rind in self.related])]
        return [*self.identity(), *attribute_fields(self.attributes), *(relations if self.related else []),
                *([("FSPT", pointers)] if pointers else [])]


class Cell:
    """Features first, as they come; what they share is found when the file is made."""

    def __init__(self, file_name, usage_band, scale, edition="1"):
        self.file_name, self.usage_band, self.scale, self.edition = file_name, usage_band, scale, edition
        self.features, self.limit = [], set()

    def _add(self, acronym, prim, attributes, paths, spatial=Spatial()):
        self.features.append(Feature(len(self.features) + 1, acronym, prim, attributes, paths, spatial))
        return self.features[-1]

    def point(self, acronym, position, attributes, spatial=Spatial()):
        return self._add(acronym, POINT, attributes, [position], spatial)

    def soundings(self, positions_and_depths, attributes):
        """`positions_and_depths`: triples; depths in tenths of a metre."""
        return self._add("SOUNDG", POINT, attributes, positions_and_depths)

    def line(self, acronym, path, attributes, spatial=Spatial()):
        return self._add(acronym, LINE, attributes, [path], spatial)

    def area(self, acronym, rings, attributes, spatial=Spatial()):
        """`rings`: closed, the outer one first, with the area to their right."""
        return self._add(acronym, AREA, attributes, rings, spatial)

    def coverage(self, rings, category):
        self.limit |= set().union(*map(topology.segments, rings))
        return self.area("M_COVR", rings, {"CATCOV": category})

    def collection(self, acronym, attributes, members):
        collection = self._add(acronym, NO_GEOMETRY, attributes, [])
        collection.related = [(member, PEER) for member in members]

    def stored(self):
        """What the features share in space, and the pointers of each into it."""
        store = SpatialStore([path for f in self.features if f.prim in (LINE, AREA) for path in f.paths], self.limit)
        return store, [store.pointers(f) for f in self.features]

    def bytes(self):
        store, pointers = self.stored()
        # WGS 84; heights above mean high water (16), depths below lowest astronomical tide (23); metres; degrees.
        parameters = [one("DSPM", DSPM, 1, 2, 16, 23, self.scale, 1, 1, 1, 1, COMF, SOMF, "")]
        return data_set([self.identification(BASE, "0", self.features, store.counts()), parameters, *store.records(),
                         *(f.record(p) for f, p in zip(self.features, pointers))])

    def identification(self, kind, update, features, spatial_counts):
        """DSID and DSSI of the cell or of an update: `features` and `spatial_counts` are those of the file."""
        expp, prof = kind
        codes = [f.code for f in features]
        meta, collections = sum(300 <= c < 400 for c in codes), sum(400 <= c < 500 for c in codes)
        applied = ISSUED if kind == BASE else ""
        return [one("DSID", DSID, 1, expp, self.usage_band, f"{self.file_name[:-4]}.{int(update):03}", self.edition,
                    update, applied, ISSUED, "03.1", 1, "", "2.0", prof, AGENCY, CAUTION),
                one("DSSI", 2, 1, 2, meta, 0, len(codes) - meta - collections, collections, *spatial_counts, 0)]


class Update:
    """Changes to a cell as it was first issued: records name what they change by RCNM and RCID, one version on."""

    def __init__(self, cell, number):
        self.cell, self.number = cell, str(number)
        self.store, self.pointers = cell.stored()
        self.next_feature = len(cell.features) + 1
        self.features, self.feature_records, self.node_records = [], [], []

    def _changed(self, feature, *fields):
        self.features.append(feature)
        self.feature_records.append(list(fields))

    def delete(self, feature):
        """A point that shares its node with no other goes with its node."""
        ((node, *_),) = self.pointers[feature.number - 1]
        self._changed(feature, *feature.identity(2, DELETE))
        self.node_records.append([one("VRID", *struct.unpack("<BI", node), 2, DELETE)])

    def modify(self, feature, attributes):
        self._changed(feature, *feature.identity(2, MODIFY), *attribute_fields(attributes))

    def insert_point(self, acronym, position, attributes, spatial=Spatial()):
        node = len(self.store.isolated) + 1
        self.store.isolated[(position,), spatial] = node
        feature = Feature(self.next_feature, acronym, POINT, attributes, [position], spatial)
        self.next_feature += 1
        self.node_records.append(node_record(ISOLATED, node, [position], spatial))
        self._changed(feature, *feature.record([(name(ISOLATED, node), NULL, NULL, NULL)]))

    def bytes(self):
        head = self.cell.identification(UPDATE, self.number, self.features, (len(self.node_records), 0, 0))
        return data_set([head, *self.node_records, *self.feature_records])


class SpatialStore:
    """Nodes and edges of a cell, each numbered when it is first met."""

    def __init__(self, paths, limit):
        self.junctions, self.limit = topology.junctions(paths), limit
        self.isolated, self.connected, self.edges = {}, {}, {}

    def counts(self):
        return len(self.isolated), len(self.connected), len(self.edges)

    def pointers(self, feature):
        """Rows of FSPT."""
        if feature.prim == POINT:
            number = self.isolated.setdefault((tuple(feature.paths), feature.spatial), len(self.isolated) + 1)
            return [(name(ISOLATED, number), NULL, NULL, NULL)]
        return [self._edge(chain, feature, n) for n, path in enumerate(feature.paths)
                for chain in topology.cut(path, self.junctions)]

    def _edge(self, chain, feature, ring):
        stored, turned = topology.either_way(chain)
        for position in (stored[0], stored[-1]):
            self.connected.setdefault(position, len(self.connected) + 1)
        # An edge that two features share has the attributes of the first.
        number, _ = self.edges.setdefault(stored, (len(self.edges) + 1, feature.spatial))
        usage = NULL
        if feature.prim == AREA:
            at_limit = feature.acronym != "M_COVR" and frozenset(chain[:2]) in self.limit
            usage = INNER if ring > 0 else OUTER_AT_LIMIT if at_limit else OUTER
        return name(EDGE, number), REVERSE if turned else FORWARD, usage, NULL

    def records(self):
        found = [node_record(ISOLATED, n, positions, spatial) for (positions, spatial), n in self.isolated.items()]
        found += [node_record(CONNECTED, n, [position]) for position, n in self.connected.items()]
        return found + [edge_record(n, self.connected[chain[0]], self.connected[chain[-1]], chain[1:-1], spatial)
                        for chain, (n, spatial) in self.edges.items()]


def tenths_shoaler(depth_m):
    """A depth as soundings have it, rounded to the shoaler side."""
    return math.floor(depth_m * SOMF + 1e-6)
