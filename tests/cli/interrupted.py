#!/usr/bin/python3
"""What cannot be read or written, and what is cut off in the middle: a full disk, folders without permission, pipes and folders
as input, a reader that goes away, kill -9 at random moments, two at the same file, the map replaced while it is read. Under its
final name there is never half a file.

    interrupted.py PROGRAM
"""
import contextlib
import os
import random
import shutil
import subprocess
import tempfile
import threading
import time
from pathlib import Path

from trial import ISLAND, JUDGED, PROJECT, ROUTES, UNUSABLE, check, end, expect, note, program, run

k_kills = 100
folder = Path(tempfile.mkdtemp(prefix="waywarden-cut-off-"))
ROUTE = ROUTES / "club-sund-round.gpx"
FORMATS = ("text", "json", "sarif", "geojson", "gpx", "html", "csv", "legs")
AS_REPORTS = [word for f in FORMATS for word in ("--format", f)]


def put(name, content):
    path = folder / name
    path.write_bytes(content)
    return path


def kill_at_random(args, seconds, chance, whole, out):
    """Starts and kills; every file that bears a final name must be one of the whole ones."""
    process = subprocess.Popen([program(), *map(str, args)], cwd=PROJECT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    time.sleep(chance.uniform(0, seconds))
    process.kill()
    killed = process.wait() != 0
    for path in out.iterdir():
        if path.name.startswith(".") or ".unfinished-" in path.name:
            continue  # known by its name for what it is
        expect(path.name in whole, f"{args[0]} killed: {path.name} is no name of a report")
        expect(path.read_bytes() == whole.get(path.name), f"{args[0]} killed: half a file under the name {path.name}")
    return killed


def kills():
    chance = random.Random(1)
    for name, args, final in (("prepare", ["prepare", ISLAND, "-o"], "map"), ("check", ["check", ROUTE, "--map", ISLAND, *JUDGED,
                              *AS_REPORTS, "--out"], "")):
        model = folder / f"{name}-whole"
        model.mkdir()
        done = run([*args, model / final], what=name, codes=(0,))
        whole = {path.name: path.read_bytes() for path in model.iterdir()}
        out = folder / f"{name}-killed"
        killed = seen = 0
        for _ in range(k_kills // 2):
            shutil.rmtree(out, ignore_errors=True)
            out.mkdir()
            killed += kill_at_random([*args, out / final], done.seconds * 1.1, chance, whole, out)
            seen += any(path.name in whole for path in out.iterdir())
        run([*args, out / final], what=f"{name} after a kill", codes=(0,))
        expect(all((out / n).read_bytes() == b for n, b in whole.items()), f"{name} after a kill: another result")
        note(f"{name} killed {killed} times of {k_kills // 2}; {seen} times something was there, always whole")
        expect(killed > 0, f"{name}: was never killed in time: nothing was tried")


def two_at_once():
    out = folder / "both"
    out.mkdir()
    for _ in range(5):
        both = [subprocess.Popen([program(), "prepare", str(ISLAND), "-o", str(out / "map")], stdout=subprocess.DEVNULL,
                                 stderr=subprocess.PIPE) for _ in range(2)]
        codes = [p.wait(60) for p in both]
        for p in both:
            p.stderr.close()
        expect(all(code in (0, UNUSABLE) for code in codes) and 0 in codes, f"two preparing one file: exit codes {codes}")
        expect((out / "map").read_bytes() == (folder / "prepare-whole/map").read_bytes(), "two preparing one file: not whole")
        expect(os.listdir(out) == ["map"], f"two preparing one file left {os.listdir(out)}")
    note(f"two processes preparing one file, five times: exit codes {codes}")


def map_replaced():
    """Replaced by renaming, as fetchers do, the map that was opened is read to its end; overwritten in place it is refused or
    gives the result of the one or of the other, never of a mixture."""
    whole, other = ISLAND.read_bytes(), folder / "other.osm.pbf"
    subprocess.run(["/usr/bin/osmium", "tags-filter", "-o", other, ISLAND, "highway"], check=True, capture_output=True)
    place = folder / "replaced"
    place.mkdir()
    moving, results = place / "map.osm.pbf", []
    for content in (whole, other.read_bytes()):
        moving.write_bytes(content)
        results.append(check(ROUTE, "map.osm.pbf", "--format", "json", cwd=place, what="before it is replaced"))
    for how in ("renamed", "overwritten"):
        stop = threading.Event()

        def replace():
            turn = 0
            while not stop.is_set():
                content = (whole, other.read_bytes())[turn % 2]
                turn += 1
                if how == "renamed":
                    (place / "new").write_bytes(content)
                    os.replace(place / "new", moving)
                else:
                    moving.write_bytes(content)
                time.sleep(0.004)
        writer = threading.Thread(target=replace)
        writer.start()
        codes = []
        for _ in range(25):
            done = check(ROUTE, "map.osm.pbf", "--format", "json", cwd=place, what=f"the map {how} while it is read")
            codes.append(done.code)
            if done.code in (0, 1):
                expect(done.out in [r.out for r in results], f"the map {how} while it is read: exit code {done.code}, a mixture")
        stop.set()
        writer.join()
        note(f"the map {how} while it is read: exit codes " + ", ".join(f"{c} {codes.count(c)} times" for c in sorted(set(codes))))


@contextlib.contextmanager
def small_disk(kib):
    """A file system that is soon full; nothing where none may be mounted."""
    at = folder / "small"
    at.mkdir(exist_ok=True)
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={kib}k", "tmpfs", str(at)], capture_output=True).returncode == 0
    try:
        yield at if mounted else None
    finally:
        if mounted:
            subprocess.run(["umount", str(at)], check=True)


def full_disks():
    for kib in (4, 16, 64, 128):
        with small_disk(kib) as disk:
            if disk is None:
                note("SKIPPED: no small disk may be mounted here; /dev/full alone is tried")
                break
            for name, args in (("prepare", ["prepare", ISLAND, "-o", disk / "map"]),
                               ("check", ["check", ROUTE, "--map", ISLAND, *JUDGED, *AS_REPORTS, "--out", disk / "out"])):
                done = run(args, what=f"{name} on a disk of {kib} KiB", codes=(0, 2))
                for path in [p for p in disk.rglob("*") if p.is_file()]:
                    model = folder / f"{name}-whole" / path.name
                    expect(model.exists() and path.read_bytes() == model.read_bytes(), f"{name} on a disk of {kib} KiB: half of {path.name}")
                note(f"{name} on a disk of {kib} KiB: exit code {done.code} {done.err.decode().strip()[-90:]}")
                shutil.rmtree(disk / "out", ignore_errors=True)
    with open("/dev/full", "wb") as full:
        done = subprocess.run([program(), "check", str(ROUTE), "--map", str(ISLAND), *JUDGED], stdout=full, stderr=subprocess.PIPE)
    expect(done.returncode == UNUSABLE and done.stderr.count(b"\n") == 1, f"/dev/full: {done.returncode}")
    reading, writing = os.pipe()
    process = subprocess.Popen([program(), "check", str(ROUTE), "--map", str(ISLAND), *JUDGED, "--format", "json"], stdout=writing,
                               stderr=subprocess.PIPE)
    os.close(writing)
    os.read(reading, 1)
    os.close(reading)
    said = process.communicate(timeout=60)[1]
    expect(process.returncode == UNUSABLE and said.count(b"\n") == 1, f"a reader that goes away: {process.returncode} {said[:200]!r}")
    note("/dev/full, and a reader that goes away after one byte")


def not_permitted():
    """Run as nobody where this is run as root, whom nothing is forbidden."""
    before = ["setpriv", "--reuid=65534", "--regid=65534", "--clear-groups"] if os.geteuid() == 0 else []
    if before and subprocess.run([*before, program(), "--version"], capture_output=True).returncode != 0:
        note("SKIPPED: cannot run as another user (setpriv)")
        return
    os.chmod(folder, 0o755)
    closed, no_folder = put("closed.osm.pbf", ISLAND.read_bytes()), folder / "read-only"
    route = put("closed.gpx", ROUTE.read_bytes())
    no_folder.mkdir()
    for path in (closed, route):
        os.chmod(path, 0)
    os.chmod(no_folder, 0o555)
    cases = {"a map not to be read": ["check", ROUTE, "--map", closed], "a route not to be read": ["check", route, "--map", ISLAND],
             "a folder not to be written to": ["check", ROUTE, "--map", ISLAND, "--out", no_folder],
             "a folder in it": ["check", ROUTE, "--map", ISLAND, "--out", no_folder / "new"],
             "a prepared map in it": ["prepare", ISLAND, "-o", no_folder / "map"],
             "a prepared map of one not to be read": ["prepare", closed, "-o", no_folder / "map"],
             "rules not to be read": ["check", ROUTE, "--map", ISLAND, "--rules", closed],
             "a party not to be read": ["check", ROUTE, "--map", ISLAND, "--party", closed]}
    for name, args in cases.items():
        done = run(args, what=name, codes=(2,), before=before)
        note(f"{name}: {done.err.decode().strip()[-110:]}")
    expect(not list(no_folder.iterdir()), "something was written where nothing may be")


def pipes_and_folders():
    for name, suffix, source, args in (
            ("a map through a pipe", ".osm.pbf", ISLAND, lambda fifo: ["check", ROUTE, "--map", fifo]),
            ("a map through a pipe, prepared", ".osm.pbf", ISLAND, lambda fifo: ["prepare", fifo, "-o", folder / "piped"]),
            ("a route through a pipe", ".gpx", ROUTE, lambda fifo: ["check", fifo, "--map", ISLAND])):
        fifo = folder / f"pipe{suffix}"
        os.mkfifo(fifo)
        feeder = subprocess.Popen(["cp", str(source), str(fifo)], stderr=subprocess.DEVNULL)
        done = run(args(fifo), what=name, codes=(0,) if suffix == ".gpx" else (2,), seconds=10)
        feeder.kill()
        feeder.wait()
        fifo.unlink()
        note(f"{name}: exit code {done.code} after {done.seconds:.1f} s {done.err.decode().strip()[-110:]}")
    for name, args in {"a folder as map": ["check", ROUTE, "--map", folder], "an empty folder of routes": ["check", folder / "read-only", "--map", ISLAND],
                       "a folder to prepare": ["prepare", folder, "-o", folder / "x"], "a prepared map onto a folder": ["prepare", ISLAND, "-o", folder],
                       "reports into a file": ["check", ROUTE, "--map", ISLAND, "--out", ISLAND],
                       "a device as map": ["check", ROUTE, "--map", "/dev/null"], "a device as route": ["check", "/dev/null", "--map", ISLAND]}.items():
        done = run(args, what=name, codes=(2,), seconds=10)
        note(f"{name}: {done.err.decode().strip()[-110:]}")


def main():
    kills()
    two_at_once()
    map_replaced()
    full_disks()
    not_permitted()
    pipes_and_folders()
    subprocess.run(["rm", "-rf", folder], check=True)
    end()


if __name__ == "__main__":
    main()
