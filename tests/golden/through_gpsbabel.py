#!/usr/bin/python3
"""Takes the waypoints and tracks of a run through files of old plotters and back, by GPSBabel (Debian's gpsbabel).

usage: through_gpsbabel.py FOLDER

Of each format: every waypoint comes back under the name that it had, where it was; every track has as many closed
lines as before, of the same points. Prints a line for each file, and one for each fault; ends with 1 if there was one.
"""
import glob
import os
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

GPX = "{http://www.topografix.com/GPX/1/1}"
# Of the plotters of some decades: names of eight characters and no small letters, on a memory card (magellan); binary
# records of a chart plotter (lowranceusr); a text of sections (raymarine); what a transfer program of hand-held ones
# kept (gdb). By form: whether it keeps tracks one by one, and how well it keeps positions, in degrees: to a thousandth
# of a minute, or in metres on a sphere that is not the earth.
FORMATS = {"magellan": (False, 2e-5), "raymarine": (False, 2e-5), "lowranceusr": (True, 2e-4), "gdb": (True, 2e-6)}


def read(path):
    root = ElementTree.parse(path).getroot()
    position = lambda element: (float(element.get("lat")), float(element.get("lon")))
    name = lambda element: element.findtext(GPX + "name")
    waypoints = {name(element): position(element) for element in root.iter(GPX + "wpt")}
    if len(waypoints) != len(list(root.iter(GPX + "wpt"))):
        raise ValueError("two waypoints of one name")
    lines = [(name(track), [position(point) for point in line.iter(GPX + "trkpt")])
             for track in root.iter(GPX + "trk") for line in track.iter(GPX + "trkseg")]
    return waypoints, lines


def through(path, form, scratch):
    aside, back = os.path.join(scratch, "aside"), os.path.join(scratch, "back.gpx")
    kinds = ["-w"] if os.path.basename(path) == "spots.gpx" else ["-t"]
    subprocess.run(["gpsbabel", *kinds, "-i", "gpx", "-f", path, "-o", form, "-F", aside], check=True)
    if not os.path.exists(aside):
        return {}, []
    subprocess.run(["gpsbabel", *kinds, "-i", form, "-f", aside, "-o", "gpx,gpxver=1.1", "-F", back], check=True)
    return read(back)


def near(a, b, tolerance):
    return all(abs(x - y) <= tolerance for x, y in zip(a, b))


def faults_of(before, after, with_tracks, tolerance):
    waypoints, lines = before
    for name, place in waypoints.items():
        if name not in after[0]:
            yield f"no waypoint {name} any more, of {sorted(after[0])[:4]}..."
        elif not near(place, after[0][name], tolerance):
            yield f"{name} was at {place} and is at {after[0][name]}"
    if len(after[0]) != len(waypoints):
        yield f"{len(after[0])} waypoints of {len(waypoints)}"
    if not with_tracks:
        return
    if len(after[1]) != len(lines):
        yield f"{len(after[1])} lines of {len(lines)}"
    for (name, points), (_, found) in zip(lines, after[1]):
        if len(points) != len(found) or not all(near(a, b, tolerance) for a, b in zip(points, found)):
            yield f"the line of {name} is another"
        elif not near(found[0], found[-1], tolerance / 100):
            yield f"the line of {name} is open"


ok = True
for path in sorted(glob.glob(os.path.join(sys.argv[1], "*.gpx"))):
    before = read(path)
    for form, (with_tracks, tolerance) in FORMATS.items():
        if not before[0] and not with_tracks:
            continue
        with tempfile.TemporaryDirectory() as scratch:
            faults = list(faults_of(before, through(path, form, scratch), with_tracks, tolerance))
        print(f"{os.path.basename(path)} through {form}: {len(before[0])} waypoints, {len(before[1])} lines,",
              "as they were" if not faults else "not as they were")
        for fault in faults:
            print("  ", fault)
            ok = False
sys.exit(0 if ok else 1)
