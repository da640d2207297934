#!/usr/bin/python3
"""The simplest version of the job with general tools, beside waywarden, in turn; medians of the ratios of the rounds.

    plain_pipeline.py WAYWARDEN MAP.osm.pbf ROUTE.gpx [--rounds 5]

The pipeline: osmium extract of the route's box, ogr2ogr of the cut and the route's line into SpatiaLite, one SQL join that lists the
highways, waterways and railways that the line meets. No matching, no rules, no reading of tags: what it lists is a beginning.
Ends in 77 where one of the tools is not there.
"""
import argparse
import pathlib
import re
import shutil
import statistics
import subprocess
import sys
import tempfile

from whole_runs import run

JOIN = """SELECT load_extension('mod_spatialite');
SELECT l.osm_id, l.highway, l.waterway, l.other_tags, AsText(ST_Intersection(l.GEOMETRY, r.GEOMETRY))
FROM tracks r JOIN lines l ON ST_Intersects(l.GEOMETRY, r.GEOMETRY)
WHERE l.ROWID IN (SELECT ROWID FROM SpatialIndex WHERE f_table_name = 'lines' AND search_frame = r.GEOMETRY)
  AND (l.highway IS NOT NULL OR l.waterway IS NOT NULL OR l.other_tags LIKE '%"railway"%');
"""


def steps(map_path, route, work):
    points = re.findall(r'<(?:trkpt|rtept)[^>]*>', route.read_text())
    lats, lons = ([float(re.search(rf'{axis}="([^"]+)"', p)[1]) for p in points] for axis in ("lat", "lon"))
    box = f"{min(lons) - 0.01},{min(lats) - 0.01},{max(lons) + 0.01},{max(lats) + 0.01}"
    cut, base, sql = work / "cut.osm.pbf", work / "walk.sqlite", work / "join.sql"
    sql.write_text(JOIN)
    to_base = ["ogr2ogr", "-f", "SQLite", "-dsco", "SPATIALITE=YES"]
    return [["osmium", "extract", "-s", "smart", "-b", box, str(map_path), "-o", str(cut), "-O"],
            [*to_base, "-overwrite", str(base), str(cut), "lines"],
            ["ogr2ogr", "-update", "-overwrite", str(base), str(route), "tracks"],
            ["sqlite3", str(base), f".read {sql}"]]


def main():
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("tool")
    ask.add_argument("map", type=pathlib.Path)
    ask.add_argument("route", type=pathlib.Path, help="a GPX track")
    ask.add_argument("--rounds", type=int, default=5)
    a = ask.parse_args()
    if missing := [name for name in ("osmium", "ogr2ogr", "sqlite3") if not shutil.which(name)]:
        print(f"SKIPPED: {', '.join(missing)} not there (apt-get install osmium-tool gdal-bin sqlite3 libsqlite3-mod-spatialite)")
        return 77
    check = [a.tool, "check", str(a.route), "--map", str(a.map), "--format", "json", "--start", "2026-12-05"]
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        chain = steps(a.map, a.route, work)
        rounds = []
        for _ in range(a.rounds):
            (work / "walk.sqlite").unlink(missing_ok=True)
            parts = [run(step, OSMIUM_POOL_THREADS="2") for step in chain]
            rounds.append((run(check), (sum(p[0] for p in parts), sum(p[1] for p in parts), max(p[2] for p in parts))))
        met = subprocess.run(chain[-1], capture_output=True, text=True)
        if "|" not in met.stdout:
            raise SystemExit(f"the join lists nothing; is SpatiaLite there (libsqlite3-mod-spatialite)? {met.stderr}")
        print(f"the pipeline lists {met.stdout.count('|') // 4} ways that the line meets")
    for name, i in (("waywarden", 0), ("plain pipeline", 1)):
        wall, cpu, peak = (statistics.median(r[i][k] for r in rounds) for k in range(3))
        print(f"{name:15s} wall {wall:.2f} s  CPU {cpu:.2f} s  peak {peak:.0f} MiB")
    wall, cpu = (statistics.median(ours[k] / theirs[k] for ours, theirs in rounds) for k in (0, 1))
    print(f"ratio, median of {a.rounds} rounds: wall {wall:.2f}, CPU {cpu:.2f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
