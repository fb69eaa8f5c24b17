"""S101-like: the least data set that GDAL's S57 driver takes for a cell although it is of S-101. It opens with nothing
but an empty layer DSID: INTU is missing.

The records are written from memory of S-100 Part 10a, not from its text: what counts is that a reader of S-57 is
misled."""

from charting import iso8211
from charting.iso8211 import Field

UTF8 = "UTF-8"
SPECIFICATION = "INT.IHO.S-101.1.0"
FIELDS = {f.tag: f for f in (
    Field("DSID", "3600", "Data Set Identification",
          "RCNM!RCID!ENSP!ENED!PRSP!PRED!PROF!DSNM!DSTL!DSRD!DSLG!DSAB!DSED\\\\*DSTC",
          "(b11,b14,7A,A(8),3A,{b11})", UTF8),
    Field("DSSI", "1600", "Data Set Structure Information",
          "DCOX!DCOY!DCOZ!CMFX!CMFY!CMFZ!NOIR!NOPN!NOMN!NOCN!NOXN!NOSN!NOFR", "(3b48,10b14)"),
    Field("FTCS", "2600", "Feature Type Codes", "*FTCD!FTNC", "(A,b12)", UTF8),
    Field("PRID", "1600", "Point Record Identifier", "RCNM!RCID!RVER!RUIN", "(b11,b14,b12,b11)"),
    Field("C2IT", "1600", "2-D Integer Coordinate Tuple", "YCOO!XCOO", "(2b24)"),
    Field("FRID", "1600", "Feature Type Record Identifier", "RCNM!RCID!NFTC!RVER!RUIN", "(b11,b14,2b12,b11)"),
    Field("FOID", "1600", "Feature Object Identifier", "AGEN!FIDN!FIDS", "(b12,b14,b12)"),
    Field("SPAS", "2600", "Spatial Association", "*RRNM!RRID!ORNT!SMIN!SMAX!SAUI", "(b11,b14,b11,2b14,b11)"),
)}
TREE = [("DSID", "DSSI"), ("DSID", "FTCS"), ("PRID", "C2IT"), ("FRID", "FOID"), ("FRID", "SPAS")]
POINT, FEATURE, WRECK, TENTHS_OF_MICRODEGREES = 110, 100, 1, 10_000_000
NO_LIMIT = 0xFFFFFFFF


def files(position):
    """File name -> bytes: a data set with a wreck at a position of whole 1e-7 degrees, east and north."""
    east, north = position
    records = [
        [("DSID", [(10, 1, "S-100 Part 10a", "1.1", SPECIFICATION, "1.0", "1", "S101-like.000",
                    "Invented: not for navigation", "20240101", "EN", "", "1.0", 14)]),
         ("DSSI", [(0.0, 0.0, 0.0, *[TENTHS_OF_MICRODEGREES] * 2, 10, 0, 1, 0, 0, 0, 0, 1)]),
         ("FTCS", [("Wreck", WRECK)])],
        [("PRID", [(POINT, 1, 1, 1)]), ("C2IT", [(north, east)])],
        [("FRID", [(FEATURE, 1, WRECK, 1, 1)]), ("FOID", [(65534, 1, 1)]),
         ("SPAS", [(POINT, 1, 255, 0, NO_LIMIT, 1)])],
    ]
    return {"S101-like.000": iso8211.descriptive_record(FIELDS.values(), TREE) + b"".join(
        iso8211.data_record([(tag, FIELDS[tag].data(rows)) for tag, rows in record]) for record in records)}
