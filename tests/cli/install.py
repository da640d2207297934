#!/usr/bin/python3
"""Installs into a folder of its own and runs from there: rules, regions, parties, example and man page must be found.

    install.py CMAKE BUILD_FOLDER
"""
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

cmake, build = sys.argv[1:]
with tempfile.TemporaryDirectory() as folder:
    prefix = Path(folder, "prefix")
    subprocess.run([cmake, "--install", build, "--prefix", str(prefix)], check=True, stdout=subprocess.DEVNULL)
    moved = Path(folder, "moved")  # so that nothing depends on the place it was installed to
    shutil.move(prefix, moved)
    program = moved / "bin" / "waywarden"
    env = {k: v for k, v in os.environ.items() if k != "WAYWARDEN_DATA"}

    def run(*args):
        return subprocess.run([program, *args], cwd=folder, env=env, capture_output=True, text=True, timeout=120)

    rules = run("rules", "list")
    assert rules.returncode == 0 and "on-a-motorway" in rules.stdout, rules.stderr
    demo = run("demo", "reports")
    assert demo.returncode == 0, demo.stderr
    summary = Path(folder, "reports", "summary.txt").read_text()
    assert "share/waywarden/example/island.osm.pbf" in summary, summary
    bare = run("check", "nothing.gpx", "--map", "nothing.pbf", "--region", "atlantis")
    assert "england" in bare.stderr, bare.stderr
    for name in ("share/man/man1/waywarden.1", "share/waywarden/regions/england.json",
                 "share/waywarden/sets/walking-core.json", "share/waywarden/parties/club-walk.json"):
        assert (moved / name).is_file(), name
print("installed, moved and run")
