#!/usr/bin/python3
"""Signed routes on a county's map of 2018 and of 2022, compared; and on the map of 2022 with every number and every way cut otherwise.

    seasons.py WAYWARDEN

Four signed routes (137 km). Compared with 2018, every route keeps most of its findings, and no rule is both new and gone at one place.
Compared with the same map renumbered nothing is new or gone and no change is told, nor where each walked way is cut in two as well.
Ends with 77, saying why, where the real maps are not there.
"""
import json
import math
import pathlib
import re
import subprocess
import sys
import tempfile

SHARED = pathlib.Path(__file__).resolve().parents[3] / "shared" / "data"
OLD, NEW = SHARED / "extracts/rutland-2018.osm.pbf", SHARED / "extracts/rutland-2022.osm.pbf"
SHIFT = 20_000_000_000
ONE_PLACE_M = 30
# Read off the results and looked at one by one, docs/judgement.md: at least so many unchanged; at most so many new, and gone.
EXPECTED = {"r1438826": (54, 15, 25), "r1880252": (8, 1, 2), "r334253": (14, 2, 6), "r404079": (13, 1, 3)}
# What is true of the two maps, seen in both files: route, part of the words that say so.
TOLD = (("r1438826", "Uppingham Brook: was bridge, now ford"), ("r334253", "Birmingham to Peterborough Line: was bridge, now level"),
        ("r404079", "right on foot was restricted, now recorded"), ("r1438826", "newly shown: farmyard"),
        ("r1438826", "gone from the map: construction area"))
WRONG = []


def check(truth, what):
    if not truth:
        WRONG.append(what)


def run(tool, gpx, where, out, *more):
    done = subprocess.run([tool, "check", str(gpx), "--map", str(where), "--region", "england", "--start", "2026-06-05", "--format", "json", *more],
                          capture_output=True, text=True)
    if done.returncode not in (0, 1, 3):
        raise SystemExit(f"{gpx}: {done.stderr}")
    out.write_text(done.stdout)
    return json.loads(done.stdout)["routes"][0]


def metres(a, b):
    return math.hypot((a[0] - b[0]) * 111320 * math.cos(math.radians(a[1])), (a[1] - b[1]) * 111132)


def of_state(route, state):
    return [f for f in route["findings"] if f["state"] == state]


def is_cut(line, walked):
    """Whether this line of OPL is a walked way that can be cut in two."""
    refs = next((part[1:].split(",") for part in line.split(" ")[1:] if part[:1] == "N"), [])
    return line.split(" ", 1)[0] in walked and len(refs) >= 4 and refs[0] != refs[-1]


def other_members(text, cut):
    for member in text.split(","):
        kind, number, role = re.fullmatch(r"([nwr])(\d+)@(.*)", member).groups()
        yield f"{kind}{int(number) + SHIFT}@{role}"
        if kind + number in cut:
            yield f"{kind}{int(number) + 2 * SHIFT}@{role}"


def other_numbers(line, cut):
    """A line of OPL with all numbers moved, and the second half of a way in `cut` as a way of its own, in relations too."""
    moved = []
    for part in line.split(" "):
        if not moved:
            moved.append(part[0] + str(int(part[1:]) + SHIFT))
        elif part[:1] == "N" and len(part) > 1:
            moved.append("N" + ",".join("n" + str(int(ref[1:]) + SHIFT) for ref in part[1:].split(",")))
        elif part[:1] == "M" and len(part) > 1:
            moved.append("M" + ",".join(other_members(part[1:], cut)))
        else:
            moved.append(part)
    if line.split(" ", 1)[0] not in cut:
        return [" ".join(moved)]
    at = next(i for i, part in enumerate(moved) if i and part.startswith("N"))
    refs = moved[at][1:].split(",")
    half = len(refs) // 2
    first, second = list(moved), list(moved)
    first[at] = "N" + ",".join(refs[:half + 1])
    second[at] = "N" + ",".join(refs[half:])
    second[0] = "w" + str(int(moved[0][1:]) + SHIFT)
    return [" ".join(first), " ".join(second)]


def planted(walked, folder):
    """The map of 2022 with other numbers, the ways in `walked` cut in two."""
    text = subprocess.run(["osmium", "cat", str(NEW), "-f", "opl"], check=True, capture_output=True, text=True).stdout
    lines = text.splitlines()
    cut = {line.split(" ", 1)[0] for line in lines if is_cut(line, walked)}
    kinds = {"n": [], "w": [], "r": []}
    for line in lines:
        kinds[line[0]] += other_numbers(line, cut)
    for some in kinds.values():
        some.sort(key=lambda line: int(line.split(" ", 1)[0][1:]))
    opl, pbf = folder / "planted.opl", folder / "planted.osm.pbf"
    opl.write_text("\n".join(kinds["n"] + kinds["w"] + kinds["r"]) + "\n")
    header = subprocess.run(["osmium", "fileinfo", "-g", "header.option.osmosis_replication_timestamp", str(NEW)], capture_output=True,
                            text=True).stdout.strip()
    more = [f"--output-header=osmosis_replication_timestamp={header}"] if header else []
    subprocess.run(["osmium", "cat", str(opl), *more, "-O", "-o", str(pbf)], check=True)
    return pbf, len(cut)


def seasons(tool, gpx, folder):
    name = gpx.name.split(".")[0]
    run(tool, gpx, OLD, folder / f"{name}.old.json")
    now = run(tool, gpx, NEW, folder / f"{name}.new.json", "--against", str(folder / f"{name}.old.json"))
    unchanged, fresh, absent = (of_state(now, s) for s in ("unchanged", "new", "absent"))
    least, most, most_gone = EXPECTED[name]
    check(len(unchanged) >= least, f"{name}: {len(unchanged)} unchanged, not {least}")
    check(len(fresh) <= most, f"{name}: {len(fresh)} new, more than {most}")
    check(len(absent) <= most_gone, f"{name}: {len(absent)} gone, more than {most_gone}")
    for one in fresh:
        for other in absent:
            check(one["rule"] != other["rule"] or metres(one["position"], other["position"]) > ONE_PLACE_M,
                  f"{name}: {one['rule']} is both new and gone at {one['from_m']:.0f} m")
    silent = [f for f in fresh + absent if not f.get("state_why") and not f["rule"].startswith("map-")]
    check(not silent, f"{name}: no reason for {[(f['rule'], f['from_m']) for f in silent]}")
    words = " | ".join([c["text"] for c in now["changes"]])
    for of, told in TOLD:
        check(of != name or told in words, f"{name}: does not tell: {told}")
    print(f"{name}: {now['length_m'] / 1000:.1f} km, {len(unchanged)} unchanged, {len(fresh)} new, {len(absent)} gone, {len(now['changes'])} changes told")
    return now


def unlike(tool, gpx, where, folder):
    """Nothing may be new or gone, no change told."""
    stem = gpx.name.split(".")[0]
    same = run(tool, gpx, where, folder / "planted.json", "--against", str(folder / f"{stem}.new.json"))
    other = [(f["rule"], f["state"], f["from_m"], f.get("state_why")) for f in of_state(same, "new") + of_state(same, "absent")]
    check(not other, f"{stem}, planted: {other}")
    told = [c["text"] for c in same["changes"]]
    check(not told, f"{stem}, planted: {told[:5]}")
    return len(other) + len(told)


def main():
    if not SHARED.is_dir():
        print(f"{SHARED} is not there: nothing was compared")
        sys.exit(77)
    tool = str(pathlib.Path(sys.argv[1]).resolve())
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        routes = sorted((SHARED / "routes/rutland").glob("*.exact.gpx"))
        results = [seasons(tool, gpx, folder) for gpx in routes]
        walked = {"w" + s["osm"].split("/")[1] for r in results for s in r["stretches"] if s["osm"]}
        for ways in (set(), walked):
            where, count = planted(ways, folder)
            check(not ways or count > 100, f"only {count} ways were cut")
            moved = sum(unlike(tool, gpx, where, folder) for gpx in routes)
            print(f"planted: all numbers other, {count} walked ways cut in two: {moved} differences")
    print("\n".join(WRONG))
    sys.exit(1 if WRONG else 0)


if __name__ == "__main__":
    main()
