#!/usr/bin/env python3
"""Heights of a raster through the whole program: a made SRTM tile that rises evenly to the north.

What is climbed less what is descended must be what the two ends of the route differ by, and no more can be climbed
than the line goes north, both by the coordinates in the route file. Skips where the program was built without GDAL.
"""

import json
import re
import struct
import subprocess
import sys
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
ROUTE = PROJECT / "fixtures/routes/team-day-1.gpx"
MAP = PROJECT / "fixtures/island.osm.pbf"
CELLS = 1201  # a tile of 3 arc seconds: USGS, SRTM Topo documentation
DEAD_BAND_M = 5  # docs/heights-and-times.md


def height_m(lat):
    """The tile as a formula: a metre for each row."""
    return (lat - 56) * (CELLS - 1)


def write_tile(folder):
    rows = (struct.pack(">h", CELLS - 1 - row) * CELLS for row in range(CELLS))
    (folder / "N56E002.hgt").write_bytes(b"".join(rows))


def check(program, *more):
    return subprocess.run(
        [program, "check", str(ROUTE), "--map", str(MAP), "--region", "england", "--format", "json",
         "--start", "2027-05-15T09:30", "--legs", "every=2km", *more],
        capture_output=True, text=True)


def main():
    program = sys.argv[1]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        refused = check(program, "--elevation", str(folder / "none.tif"))
        assert refused.returncode == 2, refused
        if "built without GDAL" in refused.stderr:
            print("skipped: built without GDAL")
            sys.exit(77)
        assert "there is no such file or folder" in refused.stderr, refused.stderr
        write_tile(folder)
        run = check(program, "--elevation", str(folder))
        assert run.returncode in (0, 1, 3), run.stderr
        route = json.loads(run.stdout)["routes"][0]
        own = json.loads(check(program).stdout)["routes"][0]

    legs = route["legs"]
    assert len(legs) == 7, len(legs)
    assert route["legs_by"]["heights"].startswith("heights from 1 file in "), route["legs_by"]
    up, down = (sum(leg[key] for leg in legs) for key in ("ascent_m", "descent_m"))
    lats = [float(lat) for lat in re.findall(r'<(?:trkpt|rtept)[^>]*\blat="([-0-9.]+)"', ROUTE.read_text())]
    rise = height_m(lats[-1]) - height_m(lats[0])
    north = sum(max(height_m(b) - height_m(a), 0) for a, b in zip(lats, lats[1:]))
    assert abs(up - down - rise) <= 2 * DEAD_BAND_M, (up, down, rise)
    assert 0 < up <= north + 1, (up, north)

    # 3.5 km/h and 10 min for 100 m: rules/parties/youth-expedition.json.
    for leg in legs:
        minutes = leg["length_m"] / 3500 * 60 + leg["ascent_m"] / 10
        assert abs(leg["walking_min"] - minutes) < 0.2, leg
    assert route["daylight"]["starts"] == "2027-05-15T09:30"
    assert route["daylight"]["ends"] == legs[-1]["arrives"], (route["daylight"], legs[-1])

    assert own["legs_by"]["heights"].startswith("the file's own elevations"), own["legs_by"]
    assert own["legs"][0]["ascent_m"] != legs[0]["ascent_m"]
    print(f"up {up:.0f} m, down {down:.0f} m, ends differ by {rise:.0f} m")


main()
