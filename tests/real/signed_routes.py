#!/usr/bin/python3
"""Checks the matcher on signed hiking routes whose ways are known (derived from OpenStreetMap relations).

    signed_routes.py WAYWARDEN [--verbose]

Each route comes node by node (exact) and simplified to 25 m (plan25m). Over all routes of a kind and a county:
  found  of the true length, the share whose way is named somewhere in the result (at least 99.9 %)
  named  of the route's length, the share named as one of the true ways (at least 97 %)
Ends with 77, which ctest shows as skipped, where ../shared is absent.
"""
import csv
import json
import pathlib
import subprocess
import sys

SHARED = pathlib.Path(__file__).resolve().parents[3] / "shared/data"
COUNTIES = {"rutland": "rutland-2022", "liechtenstein": "liechtenstein-2021"}
LEAST = {"found": 99.9, "named": 97.0}


def truth_of(path):
    """way id -> metres"""
    metres = {}
    with open(path, newline="") as rows:
        for row in csv.DictReader(rows):
            metres[row["way_id"]] = metres.get(row["way_id"], 0) + float(row["length_m"])
    return metres


def main():
    tool, verbose = sys.argv[1], "--verbose" in sys.argv
    if not SHARED.is_dir():
        print(f"skipped: no {SHARED}")
        sys.exit(77)
    missed = 0
    for county, extract in COUNTIES.items():
        for kind in ("exact", "plan25m"):
            files = sorted((SHARED / "routes" / county).glob(f"*.{kind}.gpx"))
            run = subprocess.run([tool, "check", *map(str, files), "--map", str(SHARED / f"extracts/{extract}.osm.pbf"),
                                  "--format", "json"], stdout=subprocess.PIPE, check=False)
            if run.returncode not in (0, 1, 3):
                sys.exit(f"the tool ended with {run.returncode}")
            total = dict.fromkeys(("true", "found", "walked", "named"), 0.0)
            for file, route in zip(files, json.loads(run.stdout)["routes"]):
                truth = truth_of(file.with_name(file.name.split(".")[0] + ".truth.csv"))
                got = {}
                for s in route["stretches"]:
                    way = (s["osm"] or "").removeprefix("way/")
                    got[way] = got.get(way, 0) + s["to_m"] - s["from_m"]
                total["true"] += sum(truth.values())
                total["found"] += sum(m for way, m in truth.items() if way in got)
                total["walked"] += sum(got.values())
                total["named"] += sum(m for way, m in got.items() if way in truth)
                if verbose:
                    print(" ", file.name, "not found", {w: round(m) for w, m in truth.items() if w not in got},
                          "not true", {w: round(m) for w, m in got.items() if w not in truth})
            shares = {"found": 100 * total["found"] / total["true"], "named": 100 * total["named"] / total["walked"]}
            short = [f for f, least in LEAST.items() if shares[f] < least]
            missed += len(short)
            print(f"{county:14s} {kind:8s} found {shares['found']:.3f} %  named {shares['named']:.3f} %  " +
                  (f"MISSED {short}" if short else "reached"))
    sys.exit(1 if missed else 0)


if __name__ == "__main__":
    main()
