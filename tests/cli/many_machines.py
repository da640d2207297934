#!/usr/bin/python3
"""Routes shared out by GNU parallel and collected give the summary of one run, byte for byte: docs/many-machines.md.

    many_machines.py PROGRAM

The machine is this one, twice. Ends in 77 where GNU parallel is not there: not run, which is no success.
"""
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parent.parent.parent
program = str(Path(sys.argv[1]).resolve())
OPTIONS = ["--map", str(PROJECT / "fixtures/island.osm.pbf"), "--region", "england", "--start", "2026-12-05", "--format", "json"]
RESULTS = (0, 1, 3)  # exit codes of a route that was checked

if not shutil.which("parallel"):
    print("SKIPPED: GNU parallel is not there (apt-get install parallel)")
    sys.exit(77)


def run(*args, allowed=RESULTS, **kwargs):
    done = subprocess.run(args, capture_output=True, text=True, timeout=300, **kwargs)
    assert done.returncode in allowed, f"{args}: {done.returncode} {done.stderr}"
    return done


with tempfile.TemporaryDirectory() as folder:
    work = Path(folder)
    (work / "walks").mkdir()
    for route in (PROJECT / "fixtures/routes").glob("*.gpx"):
        for copy in ("", "-again"):  # more routes than machines
            shutil.copy(route, work / "walks" / f"{route.stem}{copy}.gpx")
    (work / "home").mkdir()
    env = dict(os.environ, LC_ALL="C", HOME=str(work / "home"))
    run(program, "check", "walks", *OPTIONS, "--format", "csv", "--format", "text", "--out", "one", cwd=work, env=env)

    walks = sorted(f"walks/{p.name}" for p in (work / "walks").iterdir())
    shared = run("parallel", "--will-cite", "--sshlogin", "2/:", "--joblog", "jobs.log", program, "check", "{}", *OPTIONS, "--out",
                 "results", ":::", *walks, cwd=work, env=env, allowed=range(102))  # the number of jobs that found something
    jobs = [line.split("\t") for line in (work / "jobs.log").read_text().splitlines()[1:]]
    assert len(jobs) == len(walks) == 6, shared.stderr
    assert all(int(job[6]) in RESULTS for job in jobs), jobs

    results = [f"results/{p.name}" for p in sorted((work / "results").iterdir())]
    assert len(results) == len(walks)
    run(program, "collect", *results, "--out", "many", cwd=work, env=env)
    for name in ("summary.json", "summary.csv", "summary.shared.csv", "summary.txt"):
        one, many = (work / "one" / name).read_bytes(), (work / "many" / name).read_bytes()
        assert one and one == many, f"{name} differs"
    print(f"{len(walks)} routes, three summaries, the same bytes")
