#!/usr/bin/python3
"""Runs validators that we did not write, and the rules of specifications, over the files of a run's folder.

usage: validate_formats.py FOLDER [SCHEMAS]      SCHEMAS: Topografix_gpx11.xsd and ogckml22.xsd of package pytrainer

Prints a line for each file that was looked at, and a line for each fault; ends with 1 if there was one.
"""
import glob
import json
import os
import re
import sqlite3
import struct
import subprocess
import sys
import warnings
import xml.etree.ElementTree as ElementTree

from osgeo import gdal, ogr
from osgeo_utils.samples import validate_cloud_optimized_geotiff, validate_gpkg  # package python3-gdal

import geojson  # package python3-geojson

gdal.UseExceptions()


def cog(path):
    faults, errors, _ = validate_cloud_optimized_geotiff.validate(path, full_check=True)
    return list(faults) + list(errors)


def geopackage(path):
    checker = validate_gpkg.GPKGChecker(path, abort_at_first_error=False, extra_checks=True)
    checker.check()
    return [str(error) for error in checker.errors]


def geo_json(path):
    with open(path, encoding="utf-8") as file:
        text = file.read()
    collection = geojson.loads(text)
    faults = []
    if not collection.is_valid:
        faults.append(str(collection.errors()))
    if "crs" in json.loads(text):
        faults.append("RFC 7946, section 4: no crs member")
    return faults


def by_schema(schema):
    def check(path):
        if not schemas:
            return []
        run = subprocess.run(["xmllint", "--noout", "--nonet", "--schema", os.path.join(schemas, schema), path],
                             capture_output=True, text=True, check=False)  # package libxml2-utils
        return [] if run.returncode == 0 else run.stderr.splitlines()
    return check


def well_formed(path):
    try:
        ElementTree.parse(path)
        return []
    except ElementTree.ParseError as error:
        return [str(error)]


def flatgeobuf(path):
    with open(path, "rb") as file:
        magic = file.read(8)
    faults = [] if magic[:7] == b"fgb\x03fgb" else [f"starts with {magic}"]  # the eighth is a patch level
    opened = ogr.Open(path)
    layer = opened.GetLayer(0)
    if sum(1 for _ in layer) != layer.GetFeatureCount():
        faults.append("holds other features than its header says")
    return faults


def mbtiles(path):
    """https://github.com/mapbox/mbtiles-spec, 1.3/spec.md, clause by clause."""
    faults = []

    def rule(holds, what):
        if not holds:
            faults.append(what)

    database = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    one = lambda sql: database.execute(sql).fetchone()[0]
    rule(one("PRAGMA integrity_check") == "ok", "a valid SQLite database")
    rule(one("PRAGMA application_id") == 0x4D504258, "the application id may be set, as MPBX")
    names = {name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type IN ('table', 'view')")}
    rule(names == {"metadata", "tiles"}, f"tables metadata and tiles, not {names}")
    columns = lambda table: [(row[1], row[2].lower()) for row in database.execute(f"PRAGMA table_info({table})")]
    rule(columns("metadata") == [("name", "text"), ("value", "text")], "metadata (name text, value text)")
    rule(columns("tiles") == [("zoom_level", "integer"), ("tile_column", "integer"), ("tile_row", "integer"),
                              ("tile_data", "blob")], "tiles (zoom_level, tile_column, tile_row, tile_data)")
    rule([row[2] for row in database.execute("PRAGMA index_list(tiles)")] == [1], "a unique index over tiles")
    rows = database.execute("SELECT name, value FROM metadata").fetchall()
    metadata = dict(rows)
    rule(len(metadata) == len(rows), "each name once")
    rule({"name", "format"} <= metadata.keys(), "name and format are required")
    rule(metadata.get("format") == "png", "format is png")
    rule(metadata.get("type") == "overlay", "type is overlay or baselayer")
    rule(re.fullmatch(r"\d+(\.\d+)?", metadata.get("version", "")) is not None, "version is a number")
    rule("not for navigation" in metadata.get("attribution", ""), "attribution carries the caution")
    least, most = int(metadata["minzoom"]), int(metadata["maxzoom"])
    zooms = [zoom for (zoom,) in database.execute("SELECT DISTINCT zoom_level FROM tiles ORDER BY zoom_level")]
    rule(not zooms or (zooms[0] >= least and zooms[-1] <= most), f"zooms {zooms} lie within minzoom and maxzoom")
    west, south, east, north = map(float, metadata["bounds"].split(","))
    rule(-180 <= west < east <= 180 and -85.06 < south < north < 85.06, "bounds are left, bottom, right, top")
    lon, lat, zoom = map(float, metadata["center"].split(","))
    rule(west <= lon <= east and south <= lat <= north and least <= zoom <= most, "center lies within the bounds")
    for zoom, col, row, data in database.execute("SELECT * FROM tiles"):
        rule(0 <= col < 2 ** zoom and 0 <= row < 2 ** zoom, f"tile {zoom}/{col}/{row} is on the map")
        size = struct.unpack(">II", data[16:24])
        rule(data.startswith(b"\x89PNG\r\n\x1a\n") and size == (256, 256), f"tile {zoom}/{col}/{row} is a PNG of 256")
    # An outside reader, after the rules: package python3-mapproxy.
    from mapproxy.cache.mbtiles import MBTilesCache
    from mapproxy.cache.tile import Tile
    cache = MBTilesCache(path)
    for zoom, col, row in database.execute("SELECT zoom_level, tile_column, tile_row FROM tiles LIMIT 3"):
        rule(cache.load_tile(Tile((col, row, zoom))), "mapproxy finds its tiles")
    return faults


checks = {".tif": cog, ".gpkg": geopackage, ".geojson": geo_json, ".gpx": by_schema("Topografix_gpx11.xsd"),
          ".kml": by_schema("ogckml22.xsd"), ".mbtiles": mbtiles, ".fgb": flatgeobuf, ".qml": well_formed,
          ".sld": well_formed, ".xml": well_formed, ".qgs": well_formed}

warnings.simplefilter("ignore")
folder = sys.argv[1]
schemas = sys.argv[2] if len(sys.argv) > 2 else None
ok = True
for path in sorted(glob.glob(os.path.join(folder, "*"))):
    check = checks.get(os.path.splitext(path)[1])
    if check is None:
        continue
    found = check(path)
    print(os.path.basename(path), "is valid" if not found else "is not valid")
    for fault in found:
        print("  ", fault)
        ok = False
sys.exit(0 if ok else 1)
