#!/usr/bin/python3
"""Real extracts and what is prepared of them must give the same results, byte for byte.

    prepared_maps.py WAYWARDEN [--count 30]

For every extract in ../shared/data/extracts: that many random walks along its ways, checked with the extract and with
the prepared map, all at once and one by one. Ends with 77, which ctest shows as skipped, where ../shared is absent.
"""
import argparse
import os
import pathlib
import random
import subprocess
import sys
import tempfile

SHARED = pathlib.Path(__file__).resolve().parents[3] / "shared"


def results(tool, cwd, routes):
    done = subprocess.run([tool, "check", *map(str, routes), "--map", "map.osm.pbf", "--start", "2026-12-05", "--format", "json"],
                          cwd=cwd, stdout=subprocess.PIPE, check=False)
    if done.returncode not in (0, 1, 3):
        sys.exit(f"the tool ended with {done.returncode}")
    return done.stdout


def along_ways(extract, folder, count):
    """Lines along two ways of a small extract each, with a leap between; too small for walks of kilometres."""
    import osmium

    class Lines(osmium.SimpleHandler):
        def __init__(self):
            super().__init__()
            self.lines = []

        def way(self, way):
            points = [(n.lat, n.lon) for n in way.nodes if n.location.valid()]
            if "highway" in way.tags and len(points) > 2:
                self.lines.append(points)

    ways = Lines()
    ways.apply_file(str(extract), locations=True)
    rng = random.Random(11)
    folder.mkdir()
    for i in range(count):
        points = "".join(f'<trkpt lat="{lat:.6f}" lon="{lon:.6f}"/>' for lat, lon in rng.choice(ways.lines) + rng.choice(ways.lines))
        (folder / f"{i}.gpx").write_text(
            f'<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>{points}</trkseg></trk></gpx>')


def main():
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("tool")
    ask.add_argument("--count", type=int, default=30)
    a = ask.parse_args()
    tool = os.path.abspath(a.tool)
    if not (SHARED / "data/extracts").is_dir():
        print(f"skipped: no {SHARED}/data/extracts")
        sys.exit(77)
    differ = 0
    for extract in sorted((SHARED / "data/extracts").glob("*.osm*")):
        with tempfile.TemporaryDirectory() as folder:
            one, other, walks = (pathlib.Path(folder) / n for n in ("extract", "prepared", "walks"))
            one.mkdir()
            other.mkdir()
            # As .osm.pbf whatever it was, so that both have the same name.
            if extract.name.endswith(".pbf"):
                (one / "map.osm.pbf").symlink_to(extract)
            else:
                subprocess.run(["osmium", "cat", extract, "-o", one / "map.osm.pbf"], check=True, stderr=subprocess.DEVNULL)
            subprocess.run([tool, "prepare", one / "map.osm.pbf", "-o", other / "map.osm.pbf"], check=True, stdout=subprocess.DEVNULL)
            if extract.name.endswith(".pbf"):
                subprocess.run(["/usr/bin/python3", "-W", "ignore", SHARED / "tools/make_routes.py", extract, walks, "--count",
                                str(a.count), "--seed", "11"], check=True, stdout=subprocess.DEVNULL)
            else:
                along_ways(one / "map.osm.pbf", walks, a.count)
            routes = sorted(walks.glob("*.gpx"))
            same = results(tool, one, routes) == results(tool, other, routes)
            alone = sum(results(tool, one, [r]) == results(tool, other, [r]) for r in routes)
            size = (other / "map.osm.pbf").stat().st_size / (one / "map.osm.pbf").stat().st_size
            print(f"{extract.name:38s} {len(routes)} walks: at once {'the same' if same else 'DIFFER'}, alone {alone} the same; "
                  f"{size:.2f} of the extract's size", flush=True)
            differ += not same or alone != len(routes) or not routes
    sys.exit(1 if differ else 0)


if __name__ == "__main__":
    main()
