"""QQ5ODD: a cell with codes that no table lists, or that GDAL 3.6.2's tables do not."""

from charting.s57 import Cell
from charting.survey import box, position

WEST_M, SOUTH_M, EAST_M, NORTH_M = 4000, 0, 4400, 300  # away from the other cells


def files():
    """File name -> bytes."""
    cell = Cell("QQ5ODD.000", usage_band=5, scale=10_000)
    whole = [box(WEST_M, SOUTH_M, EAST_M, NORTH_M)]
    cell.coverage(whole, 1)
    cell.area("M_QUAL", whole, {"CATZOC": 6})
    cell.area("DEPARE", whole, {"DRVAL1": 5, "DRVAL2": 10})
    cell.point(40000, position(4050, 50), {"OBJNAM": "Of a class that is in no table"})
    cell.point("OBSTRN", position(4100, 100), {"WATLEV": 7, "CATOBS": 8, 40001: "of an attribute that is in no table"})
    cell.point("OBSTRN", position(4150, 150), {"CATOBS": 10, "WATLEV": 3, "VALSOU": 4.2, "QUASOU": "6,8"})
    cell.point("SBDARE", position(4200, 200), {"NATSUR": 99})
    return {cell.file_name: cell.bytes()}
