#!/usr/bin/python3
"""Many routes by four threads, and by one: the same bytes. Built for threads (`./run test --threads`) this run
tells of data races too: ThreadSanitizer then ends the program with another exit code.

    threads.py PROGRAM

The map is the island, spread over so many blocks that threads share nodes and ways: all numbers times five, and beside
each object three of the same shape in the sea to the north.
"""
import os
import re
import shutil
import struct
import subprocess
import sys
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
ISLAND = PROJECT / "fixtures/island.osm.pbf"
ROUTES = sorted((PROJECT / "fixtures/routes").glob("*.gpx"))
CARD = PROJECT / "tests/golden/route-card/card.csv"
FORMATS = ("json", "text", "html", "geojson", "csv")
COPIES = 4  # of each route, so that there are more routes than threads
program = os.path.abspath(sys.argv[1])


def run(*args, cwd):
    done = subprocess.run([program, *args], cwd=cwd, capture_output=True, text=True, timeout=1800)
    assert done.returncode in (0, 1, 3), f"{args}: {done.returncode} {done.stderr}"
    assert "Sanitizer" not in done.stderr, f"{args}: {done.stderr}"


def written(folder):
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def numbered_anew(line, copy):
    """An object of an OPL file with its numbers times five, plus `copy`; the copies are houses in the sea."""
    line = re.sub(r"^([nwr])(\d+)|(?<=[N,M])([nwr])(\d+)",
                  lambda m: (m[1] or m[3]) + str(5 * int(m[2] or m[4]) + copy), line)
    if copy:
        line = re.sub(r" y(\S+)", lambda m: f" y{float(m[1]) + 0.3:.7f}", line)
        line = re.sub(r" T\S*", " Tbuilding=yes" if line[0] == "w" else " T", line)
    return line


def spread_island(work):
    plain = subprocess.run(["osmium", "cat", ISLAND, "-f", "opl"], capture_output=True, text=True, check=True).stdout.splitlines()
    lines = [numbered_anew(line, copy) for line in plain for copy in range(4) if line[0] != "r" or copy == 0]
    (work / "spread.opl").write_text("\n".join(lines) + "\n")
    subprocess.run(["osmium", "cat", work / "spread.opl", "-o", work / "spread.osm.pbf", "--output-header=sorting=Type_then_ID"],
                   check=True, capture_output=True)
    return "spread.osm.pbf"


def hand_in(work):
    """A folder of walks, some with a route card, and a card that has no walk."""
    walks = work / "walks"
    walks.mkdir()
    for copy in range(COPIES):
        for route in ROUTES:
            shutil.copy(route, walks / f"{route.stem}-{copy}.gpx")
        shutil.copy(CARD, walks / f"team-day-1-{copy}.csv")
    shutil.copy(CARD, walks / "without-a-line.csv")


with tempfile.TemporaryDirectory() as home:
    work = Path(home)
    formats = [word for f in FORMATS for word in ("--format", f)]
    if shutil.which("osmium"):
        extract = spread_island(work)
    else:
        print("osmium is not here (package osmium-tool): the island is read as it is, in few blocks")
        extract = str(ISLAND)
    run("prepare", extract, "-o", "one.map", "--jobs", "1", cwd=work)
    run("prepare", extract, "-o", "four.map", "--jobs", "4", cwd=work)
    assert (work / "one.map").read_bytes() == (work / "four.map").read_bytes(), "prepared maps differ"
    # Heights are read by all threads from the same raster: a slope up to the north-east.
    row = range(1201)
    (work / "N56E002.hgt").write_bytes(b"".join(struct.pack(">1201h", *(20 + (x + 1200 - y) // 20 for x in row)) for y in row))
    heights = ["--elevation", "N56E002.hgt"]
    said = subprocess.run([program, "check", ROUTES[0], "--map", ISLAND, *heights], cwd=work, capture_output=True, text=True).stderr
    if "built without GDAL" in said:
        print("built without GDAL: no raster of heights is read")
        heights = []
    hand_in(work)
    files = 0
    for name, maps in (("extract", extract), ("prepared", "one.map")):
        for jobs in ("1", "2", "4"):
            run("check", "walks", "--map", maps, "--region", "auto", "--start", "2026-12-05T09:00", *heights, "--jobs", jobs,
                *formats, "--out", f"{name}-{jobs}", cwd=work)
        one = written(work / f"{name}-1")
        assert len(one) >= (len(ROUTES) * COPIES + 1) * len(FORMATS), f"only {len(one)} files"
        for jobs in ("2", "4"):
            more = written(work / f"{name}-{jobs}")
            assert one.keys() == more.keys(), f"{name}: other files"
            for file in one:
                assert one[file] == more[file], f"{name}: {file} differs with {jobs} threads"
        files += len(one)
    results = sorted(str(p) for p in (work / "extract-4").glob("*.json") if p.name != "summary.json")
    run("collect", *results, "--out", "collected", cwd=work)
    for summary in ("summary.json", "summary.csv", "summary.txt"):
        assert (work / "collected" / summary).read_bytes() == (work / "extract-1" / summary).read_bytes(), summary
    print(f"{files} files, the same bytes")
