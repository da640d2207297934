#!/usr/bin/python3
"""Several routes by four threads, and by one: the same bytes. Built for threads (`./run test --threads`) this run
tells of data races too: ThreadSanitizer then ends the program with another exit code.

    threads.py PROGRAM
"""
import os
import subprocess
import sys
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
ISLAND = str(PROJECT / "fixtures/island.osm.pbf")
ROUTES = sorted(str(p) for p in (PROJECT / "fixtures/routes").glob("*.gpx"))
FORMATS = ("json", "text", "html", "geojson", "csv")
program = os.path.abspath(sys.argv[1])


def run(*args, cwd):
    done = subprocess.run([program, *args], cwd=cwd, capture_output=True, text=True, timeout=900)
    assert done.returncode in (0, 1, 3), f"{args}: {done.returncode} {done.stderr}"
    assert "Sanitizer" not in done.stderr, f"{args}: {done.stderr}"


def written(folder):
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


with tempfile.TemporaryDirectory() as home:
    work = Path(home)
    formats = [word for f in FORMATS for word in ("--format", f)]
    run("prepare", ISLAND, "-o", "one.map", "--jobs", "1", cwd=work)
    run("prepare", ISLAND, "-o", "four.map", "--jobs", "4", cwd=work)
    assert (work / "one.map").read_bytes() == (work / "four.map").read_bytes(), "prepared maps differ"
    files = 0
    for name, maps in (("extract", ISLAND), ("prepared", "one.map")):
        for jobs in ("1", "4"):
            # Each route twice, so that there are more routes than threads.
            again = work / f"{name}-{jobs}-walks"
            again.mkdir()
            for route in ROUTES:
                for copy in ("a", "b"):
                    (again / f"{Path(route).stem}-{copy}.gpx").write_bytes(Path(route).read_bytes())
            os.rename(again, work / "walks")
            run("check", "walks", "--map", maps, "--region", "auto", "--start", "2026-12-05", "--jobs", jobs, *formats,
                "--out", f"{name}-{jobs}", cwd=work)
            os.rename(work / "walks", again)
        one, four = written(work / f"{name}-1"), written(work / f"{name}-4")
        assert len(one) >= len(ROUTES) * 2 * len(FORMATS), f"only {len(one)} files"
        assert one.keys() == four.keys(), f"{name}: other files"
        for file in one:
            assert one[file] == four[file], f"{name}: {file} differs with the number of threads"
        files += len(one)
    results = sorted(str(p) for p in (work / "extract-4").glob("*.json") if p.name != "summary.json")
    run("collect", *results, "--out", "collected", cwd=work)
    print(f"{files} files, the same bytes")
