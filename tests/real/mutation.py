#!/usr/bin/python3
"""Mutation of truth: hazards planted in real maps along signed routes must be found; harmless edits must change nothing.

    mutation.py WAYWARDEN [--hazards 500] [--harmless 500] [--seed 1] [--jobs 2] [--keep FOLDER]

Each case takes a signed route and the real map around it, edits one thing, and checks the route again. A planted hazard counts as
found where a finding appears at its place that was not there, or one there gets weightier, or the route can no longer be vouched for. A
harmless edit must leave verdict and findings (rule, level, place) as they were. --seed 0 draws anew each time. Ends with 1 where a hazard is
missed or a harmless edit changes a verdict, with 77, saying why, where the real maps are not there.
"""
import argparse
import collections
import concurrent.futures
import json
import math
import pathlib
import random
import subprocess
import sys
import tempfile

SHARED = pathlib.Path(__file__).resolve().parents[3] / "shared" / "data"
PLACE_M = 80  # a finding this near along the route is at the place


class Map:
    """A map as lines of OPL by object, so that one can be changed and all written again."""

    def __init__(self, text):
        self.lines = {}
        for line in text.splitlines():
            self.lines[line.split(" ", 1)[0]] = line

    def copy(self):
        other = Map("")
        other.lines = dict(self.lines)
        return other

    def fields(self, key):
        return {f[0]: f[1:] for f in self.lines[key].split(" ")[1:] if f}

    def tags(self, key):
        text = self.fields(key).get("T", "")
        return dict(t.split("=", 1) for t in text.split(",") if t)

    def set(self, key, field, value):
        parts = self.lines[key].split(" ")
        parts = [p for p in parts[:1]] + [p for p in parts[1:] if not p.startswith(field)] + [field + value]
        self.lines[key] = " ".join(parts)

    def set_tags(self, key, tags):
        self.set(key, "T", ",".join(f"{k}={v}" for k, v in tags.items()))

    def retag(self, key, drop=(), **new):
        tags = {k: v for k, v in self.tags(key).items() if not k.startswith(tuple(drop) or ("\0",))}
        tags.update({k.replace("__", ":"): v for k, v in new.items()})
        self.set_tags(key, tags)

    def refs(self, key):
        return self.fields(key).get("N", "").split(",")

    def position(self, node):
        f = self.fields(node)
        return float(f["x"]), float(f["y"])

    def add_node(self, number, lon, lat, tags=""):
        self.lines[f"n{number}"] = f"n{number} v1 dV c1 t2020-06-01T00:00:00Z i1 u T{tags} x{lon:.7f} y{lat:.7f}"
        return f"n{number}"

    def add_way(self, number, tags, refs):
        self.lines[f"w{number}"] = f"w{number} v1 dV c1 t2020-06-01T00:00:00Z i1 u T{tags} N{','.join(refs)}"

    def text(self):
        order = {"n": 0, "w": 1, "r": 2}
        return "\n".join(self.lines[k] for k in sorted(self.lines, key=lambda k: (order[k[0]], int(k[1:])))) + "\n"


def way_key(osm):
    return "w" + osm.split("/")[1] if osm and osm.startswith("way/") else None


def metres(a, b):
    return math.hypot((a[0] - b[0]) * 111320 * math.cos(math.radians(a[1])), (a[1] - b[1]) * 111132)


def across(line, half_m, part=0.5):
    """Two places to both sides of a line, about a share `part` of its pieces along it."""
    i = max(0, min(len(line) - 2, int(part * (len(line) - 1))))
    if metres(line[i], line[i + 1]) < 0.5:  # a point drawn twice has no sides
        i = max(range(len(line) - 1), key=lambda k: metres(line[k], line[k + 1]))
    (x0, y0), (x1, y1) = line[i], line[i + 1]
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    dx, dy = (x1 - x0) * math.cos(math.radians(y)), y1 - y0
    length = math.hypot(dx, dy) or 1
    nx, ny = -dy / length, dx / length
    east, north = 111320 * math.cos(math.radians(y)), 111132
    return [(x + s * nx * half_m / east, y + s * ny * half_m / north) for s in (-1, 1)]


# Hazards: each takes the baseline route, the map and a source of chance, edits the map and gives the place (from_m, to_m) and
# what it did, or None where this route has no place for it.

def remove_means(route, m, draw):
    some = [c for c in route["crossings"] if c["means"] in ("bridge", "tunnel", "culvert")
            and (c["of"] in ("water", "rail") or c["access"] in ("major_road", "motorway")) and way_key(c["osm"]) in m.lines]
    if not some:
        return None
    c = draw.choice(some)
    walked = [s for s in route["stretches"] if s["from_m"] - 30 <= c["at_m"] <= s["to_m"] + 30]
    for key in {way_key(c["osm"]), *(way_key(s["osm"]) for s in walked)} - {None}:
        if key in m.lines:
            m.retag(key, drop=("bridge", "tunnel", "layer", "culvert", "covered", "man_made"))
    # Every other bridge outline or crossing water line there would still say bridge.
    return c["at_m"], c["at_m"], f"no {c['means']} over {c['of']} {c['osm']}"


def forbid(route, m, draw):
    some = [s for s in route["stretches"] if s["to_m"] - s["from_m"] >= 80 and way_key(s["osm"]) in m.lines and s["confidence"] > 0.9]
    if not some:
        return None
    s = draw.choice(some)
    m.retag(way_key(s["osm"]), drop=("foot", "access"), foot="no")
    return s["from_m"], s["to_m"], f"foot=no on {s['osm']}"


def fast_road(route, m, draw):
    some = [s for s in route["stretches"] if s["access"] in ("minor_road", "major_road") and s["to_m"] - s["from_m"] >= 120
            and way_key(s["osm"]) in m.lines and not s["facts"].get("pavement_beside") and s["confidence"] > 0.9]
    if not some:
        return None
    s = draw.choice(some)
    m.retag(way_key(s["osm"]), drop=("maxspeed", "sidewalk", "pavement", "footway"), maxspeed="60%20%mph", sidewalk="no")
    return s["from_m"], s["to_m"], f"60 mph and no pavement on {s['osm']}"


ROADS = ("minor_road", "major_road", "motorway")


def add_line(tags, what, half_m=150, on_roads=True):
    def plant(route, m, draw):
        some = [s for s in route["stretches"] if s["to_m"] - s["from_m"] >= 60 and len(s["line"]) >= 2
                and s["access"] not in ("water", "ferry") and not s["facts"].get("bridge") and not s["facts"].get("tunnel")
                and (on_roads or s["access"] not in ROADS)]
        if not some:
            return None
        s = draw.choice(some)
        a, b = across(s["line"], half_m, draw.uniform(0.2, 0.8))
        m.add_way(9900000001, tags, [m.add_node(99000000001, *a), m.add_node(99000000002, *b)])
        return s["from_m"], s["to_m"], f"{what} across {s['osm']}"
    return plant


def add_area(tags, what, half_m=200):
    def plant(route, m, draw):
        s = draw.choice([s for s in route["stretches"] if len(s["line"]) >= 2])
        x, y = s["line"][len(s["line"]) // 2]
        dx, dy = half_m / (111320 * math.cos(math.radians(y))), half_m / 111132
        corners = [m.add_node(99000000001 + i, x + sx * dx, y + sy * dy) for i, (sx, sy) in enumerate(((-1, -1), (1, -1), (1, 1), (-1, 1)))]
        m.add_way(9900000001, tags, corners + corners[:1])
        return s["from_m"], s["to_m"], f"{what} over {s['osm']}"
    return plant


def close_gate(route, m, draw):
    """A gate on a node of the walked way, locked."""
    some = []
    for s in route["stretches"]:
        key = way_key(s["osm"])
        if key not in m.lines or s["access"] in ("major_road", "motorway") or len(s["line"]) < 3 or s["confidence"] < 0.9:
            continue
        inner = s["line"][1:-1]
        for ref in m.refs(key)[1:-1]:
            if ref in m.lines and min(metres(m.position(ref), tuple(p)) for p in inner) < 1 and not m.tags(ref):
                some.append((s, ref))
    if not some:
        return None
    s, ref = draw.choice(some)
    m.set_tags(ref, {"barrier": "gate", "locked": "yes", "access": "private", "foot": "no"})
    return s["from_m"], s["to_m"], f"locked gate on {s['osm']}"


def works(route, m, draw):
    some = [s for s in route["stretches"] if s["to_m"] - s["from_m"] >= 80 and way_key(s["osm"]) in m.lines and s["confidence"] > 0.9
            and "highway" in m.tags(way_key(s["osm"]))]
    if not some:
        return None
    s = draw.choice(some)
    key = way_key(s["osm"])
    m.retag(key, construction=m.tags(key)["highway"], highway="construction")
    return s["from_m"], s["to_m"], f"works on {s['osm']}"


HAZARDS = {
    "means of crossing removed": remove_means, "foot=no": forbid, "fast road": fast_road,
    "river": add_line("waterway=river", "a river"), "railway": add_line("railway=rail", "a railway"),
    "motorway": add_line("highway=motorway", "a motorway"), "wall": add_line("barrier=wall", "a wall", 60, on_roads=False),
    "danger area": add_area("military=danger_area", "a danger area"), "lake": add_area("natural=water,water=lake", "a lake", 60),
    "locked gate": close_gate, "works": works,
}


# Harmless edits.

def renumber(route, m, draw):
    shift = draw.randrange(10 ** 7, 10 ** 8)
    out = {}
    for key, line in m.lines.items():
        parts = line.split(" ")
        head = parts[0][0] + str(int(parts[0][1:]) + shift)
        rest = []
        for p in parts[1:]:
            if p.startswith("N") and len(p) > 1:
                p = "N" + ",".join("n" + str(int(r[1:]) + shift) for r in p[1:].split(","))
            if p.startswith("M") and len(p) > 1:
                p = "M" + ",".join(r[0] + str(int(r[1:].split("@")[0]) + shift) + "@" + r.split("@", 1)[1] for r in p[1:].split(","))
            rest.append(p)
        out[head] = " ".join([head, *rest])
    m.lines = out
    return "all numbers changed"


DIRECTED = ("oneway", "sidewalk", "incline", "forward", "backward", "left", "right", "direction", "cycleway", "turn", "natural", "man_made",
            "waterway", "barrier", "junction", "footway", "priority", "width", "step")


def undirected(m, key):
    return not any(word in k for k in m.tags(key) for word in DIRECTED)


def walked_ways(route, m):
    members = {r.split("@")[0] for k in m.lines if k[0] == "r" for r in m.fields(k).get("M", "").split(",") if r}
    return sorted({way_key(s["osm"]) for s in route["stretches"]} & set(m.lines) - members - {None})


def reverse(route, m, draw):
    some = [k for k in walked_ways(route, m) if undirected(m, k) and m.refs(k)[0] != m.refs(k)[-1]]
    if not some:
        return None
    key = draw.choice(some)
    m.set(key, "N", ",".join(reversed(m.refs(key))))
    return f"{key} reversed"


def split(route, m, draw):
    some = [k for k in walked_ways(route, m) if len(m.refs(k)) >= 4 and m.refs(k)[0] != m.refs(k)[-1]]
    if not some:
        return None
    key = draw.choice(some)
    refs = m.refs(key)
    at = draw.randrange(1, len(refs) - 1)
    m.lines["w9900000001"] = m.lines[key].replace(key + " ", "w9900000001 ", 1)
    m.set("w9900000001", "N", ",".join(refs[at:]))
    m.set(key, "N", ",".join(refs[:at + 1]))
    return f"{key} split at {refs[at]}"


def landuse_far_away(route, m, draw):
    x, y = route["stretches"][0]["line"][0]
    x, y = x + 0.02, y + 0.012  # some 1.8 km
    corners = [m.add_node(99000000001 + i, x + dx, y + dy) for i, (dx, dy) in enumerate(((0, 0), (0.002, 0), (0.002, 0.001), (0, 0.001)))]
    m.add_way(9900000001, "landuse=" + draw.choice(("meadow", "forest", "orchard")), corners + corners[:1])
    return "landuse far away"


def wording(route, m, draw):
    some = walked_ways(route, m)
    if not some:
        return None
    key = draw.choice(some)
    m.retag(key, note="looked%20%at", source="survey", name__nds="Weg")
    return f"notes on {key}"


HARMLESS = {"renumbered": renumber, "reversed": reverse, "split": split, "landuse far away": landuse_far_away, "notes": wording}


def check(tool, gpx, opl, work):
    result = work / "result.json"
    done = subprocess.run([tool, "check", str(gpx), "--map", str(opl), "--format", "json", "--start", "2022-08-01T09:00",
                           "--jobs", "1"], capture_output=True, text=True)
    if done.returncode not in (0, 1, 3):
        raise SystemExit(f"{gpx}: {done.stderr}")
    return json.loads(done.stdout)["routes"][0]


LEVELS = {"note": 0, "warning": 1, "error": 2}


def found(before, after, place):
    if after["verdict"] == "cannot_vouch" and before["verdict"] != "cannot_vouch":
        return True
    at = [f for f in after["findings"] if f["from_m"] <= place[1] + PLACE_M and f["to_m"] >= place[0] - PLACE_M]
    old = collections.Counter()
    for f in before["findings"]:
        if f["from_m"] <= place[1] + PLACE_M and f["to_m"] >= place[0] - PLACE_M:
            old[f["rule"]] = max(old[f["rule"]], LEVELS[f["level"]] + 1)
    for f in at:
        same = [b for b in before["findings"] if b["rule"] == f["rule"] and b["level"] == f["level"] and b["message"] == f["message"]]
        if LEVELS[f["level"]] + 1 > old[f["rule"]] or not same:
            return True
    return False


def signature(route):
    return route["verdict"], sorted((f["rule"], f["level"], round(f["from_m"]), round(f["to_m"])) for f in route["findings"])


class Cases:
    def __init__(self, tool, folder):
        self.tool, self.folder, self.bases = tool, folder, []
        for extract, routes in (("rutland-2022.osm.pbf", "rutland"), ("liechtenstein-2021.osm.pbf", "liechtenstein")):
            for gpx in sorted((SHARED / "routes" / routes).glob("*.exact.gpx")):
                self.bases.append(self.base(SHARED / "extracts" / extract, gpx))

    def base(self, extract, gpx):
        """The map around a route, as text, and the result of checking on it."""
        stem = gpx.name.split(".")[0]
        opl = self.folder / f"{stem}.opl"
        text = gpx.read_text()
        import re
        places = [(float(b), float(a)) for a, b in re.findall(r'lat="([^"]+)" lon="([^"]+)"', text)]
        west, east = min(p[0] for p in places) - 0.05, max(p[0] for p in places) + 0.05
        south, north = min(p[1] for p in places) - 0.03, max(p[1] for p in places) + 0.03
        subprocess.run(["osmium", "extract", "-s", "smart", "-b", f"{west},{south},{east},{north}", str(extract), "-o", str(opl), "-O"],
                       check=True, capture_output=True)
        whole = Map(opl.read_text())
        opl.write_text(whole.text())
        return gpx, whole, check(self.tool, gpx, opl, self.folder)

    def one(self, kind, name, seed):
        draw = random.Random(seed)
        for _ in range(20):
            gpx, whole, before = draw.choice(self.bases)
            m = whole.copy()
            edit = (HAZARDS if kind == "hazard" else HARMLESS)[name](before, m, draw)
            if edit is not None:
                break
        else:
            return None
        opl = self.folder / f"{kind}-{seed}.opl"
        opl.write_text(m.text())
        after = check(self.tool, gpx, opl, self.folder)
        good = found(before, after, edit) if kind == "hazard" else signature(before) == signature(after)
        words = edit[2] + f" at {edit[0]:.0f}-{edit[1]:.0f} m" if kind == "hazard" else edit
        if good:
            opl.unlink()
        return good, f"{name} ({gpx.name}, seed {seed}): {words}", (before, after)


def main():
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("tool")
    ask.add_argument("--hazards", type=int, default=500)
    ask.add_argument("--harmless", type=int, default=500)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--jobs", type=int, default=2)
    ask.add_argument("--keep", type=pathlib.Path)
    a = ask.parse_args()
    if not SHARED.is_dir():
        print(f"{SHARED} is not there: nothing was planted")
        sys.exit(77)
    start = a.seed or random.SystemRandom().randrange(10 ** 9)
    bad = 0
    with tempfile.TemporaryDirectory() as folder:
        work = a.keep or pathlib.Path(folder)
        work.mkdir(parents=True, exist_ok=True)
        cases = Cases(a.tool, work)
        for kind, table, count in (("hazard", HAZARDS, a.hazards), ("harmless", HARMLESS, a.harmless)):
            names = list(table)
            with concurrent.futures.ThreadPoolExecutor(a.jobs) as pool:
                outcome = list(pool.map(lambda i: (names[i % len(names)], cases.one(kind, names[i % len(names)], start * 100003 + i)),
                                        range(count)))
            for name in names:
                mine = [o for n, o in outcome if n == name and o]
                good = sum(o[0] for o in mine)
                print(f"{kind:8s} {name:26s} {good} of {len(mine)}" + (" found" if kind == "hazard" else " without effect"))
                for ok, words, (before, after) in mine:
                    if not ok:
                        bad += 1
                        print("   BAD", words)
                        if kind == "harmless":
                            was, now = signature(before), signature(after)
                            print("      ", was[0], "->", now[0], "gone", [f for f in was[1] if f not in now[1]][:3], "new",
                                  [f for f in now[1] if f not in was[1]][:3])
    print(f"seed {start}: {bad} bad")
    sys.exit(1 if bad else 0)


main()
