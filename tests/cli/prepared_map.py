#!/usr/bin/python3
"""Prepared maps through the whole program: the same result as from the extract, and refusals in words.

    prepared_map.py PROGRAM
"""
import os
import subprocess
import sys
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
ISLAND = PROJECT / "fixtures/island.osm.pbf"
ROUTES = sorted(str(p) for p in (PROJECT / "fixtures/routes").glob("*.gpx"))
FORMATS = ("json", "text", "geojson", "csv")
WRONG = []


def check(truth, what):
    if not truth:
        WRONG.append(what)


def main():
    program = os.path.abspath(sys.argv[1])

    def run(*args, cwd, code):
        done = subprocess.run([program, *args], cwd=cwd, capture_output=True, timeout=300)
        check(done.returncode in code, f"{args}: exit code {done.returncode}, not {code}: {done.stderr.decode()}")
        check(done.returncode != 2 or done.stderr.count(b"\n") == 1, f"{args}: not one line: {done.stderr.decode()}")
        return done

    with tempfile.TemporaryDirectory() as folder:
        # Under the same name in two folders, so that the results need not differ even in that.
        extract, prepared = Path(folder) / "extract", Path(folder) / "prepared"
        extract.mkdir()
        prepared.mkdir()
        said = run("prepare", str(ISLAND), "-o", "map", cwd=prepared, code=(0,)).stdout.decode()
        check("nodes" in said and "ways" in said, f"says too little: {said}")
        if not (prepared / "map").exists():
            sys.exit("; ".join(WRONG))

        (extract / "map.osm.pbf").symlink_to(ISLAND)
        (prepared / "map.osm.pbf").symlink_to("map")

        def results(cwd, *routes):
            return [run("check", *routes, "--map", "map.osm.pbf", "--region", "england", "--start", "2026-12-05",
                        "--format", f, cwd=cwd, code=(0, 1, 3)).stdout for f in FORMATS]

        for routes in [*([r] for r in ROUTES), ROUTES]:
            expected = results(extract, *routes)
            check(len(expected[0]) > 1000, f"{routes}: hardly a result")
            check(results(prepared, *routes) == expected, f"{routes}: the prepared map gives another result")
        check(run("inspect", "--map", "map.osm.pbf", "--at", "56.003,3.004", cwd=extract, code=(0, 3)).stdout ==
              run("inspect", "--map", "map.osm.pbf", "--at", "56.003,3.004", cwd=prepared, code=(0, 3)).stdout,
              "inspect: another result")

        # Refusals.
        whole = (prepared / "map").read_bytes()
        broken = Path(folder) / "broken"
        for name, content in (("cut short", whole[:-100]), ("changed", whole[:300] + bytes([whole[300] ^ 1]) + whole[301:])):
            broken.write_bytes(content)
            done = run("check", ROUTES[0], "--map", "broken", cwd=folder, code=(2,))
            check(b"prepare it again" in done.stderr, f"{name}: {done.stderr.decode()}")
        other = Path(folder) / "notes.txt"
        other.write_text("mine\n")
        run("prepare", str(ISLAND), "-o", "notes.txt", cwd=folder, code=(2,))
        check(other.read_text() == "mine\n", "a file that is no prepared map was overwritten")
        for size in ("12", "5K", "lots", "-3G", "64M"):
            run("prepare", str(ISLAND), "-o", "new", f"--memory={size}", cwd=folder, code=(2,))
        run("prepare", str(prepared / "map"), "-o", "new", cwd=folder, code=(2,))
        run("prepare", str(broken), "-o", "new", cwd=folder, code=(2,))
        run("check", ROUTES[0], "--map", str(prepared / "map"), "--map", str(ISLAND), cwd=folder, code=(2,))
        check(not (Path(folder) / "new").exists(), "something was written though the run was refused")
        left = sorted(p.name for p in Path(folder).iterdir())
        check(left == ["broken", "extract", "notes.txt", "prepared"], f"left over: {left}")
        # Again onto itself, with little memory: the same bytes.
        run("prepare", str(ISLAND), "-o", "map", "--memory", "128M", "--jobs", "1", cwd=prepared, code=(0,))
        check((prepared / "map").read_bytes() == whole, "prepared again, the file is another")
    for one in WRONG:
        print(one)
    sys.exit(1 if WRONG else 0)


if __name__ == "__main__":
    main()
