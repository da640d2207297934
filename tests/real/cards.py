#!/usr/bin/python3
"""A hundred route cards with one planted mistake each and a hundred without, made from signed hiking routes.

    cards.py WAYWARDEN [--work DIR] [--verbose]

A walk of 4 to 14 km is cut out of a route of which every node is known; a card is written for it as a team would, with legs
of 1 to 3 km. Its figures are worked out in grid_by_hand.py, apart from the program. Then
  found  every planted mistake is named on its leg, with its kind where it has one
  false  remarks on anything else: at most two for a hundred legs, on the clean cards and on the others
The same seed gives the same cards. Ends with 77, which ctest shows as skipped, where ../shared is absent.
"""
import argparse
import collections
import json
import math
import pathlib
import random
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml

sys.dont_write_bytecode = True
import grid_by_hand as by_hand  # noqa: E402

SHARED = pathlib.Path(__file__).resolve().parents[3] / "shared/data"
COUNTIES = {"rutland": ("rutland-2022", by_hand.British()), "liechtenstein": ("liechtenstein-2021", by_hand.Utm32())}
CARDS = 100
FALSE_PER_100_LEGS = 2.0
POINTS = "N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW".split()
# Squares written without letters are read as the head says, and that is told: no fault of the card.
NO_FAULT = {"card-not-all-understood"}


def line_of(path):
    root = xml.parse(path).getroot()
    return [(float(p.get("lon")), float(p.get("lat"))) for p in root.iter() if p.tag.endswith("trkpt")]


def cut_out(line, rng):
    """Some 4 to 14 km of a line without a gap, and the metres along it."""
    for _ in range(200):
        start, wanted = rng.randrange(len(line) - 1), rng.uniform(4000, 14000)
        along, i = [0.0], start
        while i + 1 < len(line) and along[-1] < wanted:
            step = by_hand.geodesic_m(line[i], line[i + 1])
            if step > 300:
                break
            along.append(along[-1] + step)
            i += 1
        if along[-1] >= 4000:
            return line[start:i + 1], along
    return None, None


class Leg:
    pass


def distance_to_line(grid_line, east, north):
    best = float("inf")
    for (ax, ay), (bx, by) in zip(grid_line, grid_line[1:]):
        dx, dy = bx - ax, by - ay
        t = 0 if dx == dy == 0 else max(0, min(1, ((east - ax) * dx + (north - ay) * dy) / (dx * dx + dy * dy)))
        best = min(best, math.hypot(ax + t * dx - east, ay + t * dy - north))
    return best


class Reference:
    """A square of 100 m, truncated."""

    def __init__(self, grid, east, north):
        self.letters = grid.letters(east, north)
        self.corner = (east // 100000 * 100000, north // 100000 * 100000)
        self.e, self.n = f"{int(east % 100000 // 100):03}", f"{int(north % 100000 // 100):03}"

    def middle(self):
        return self.corner[0] + int(self.e) * 100 + 50, self.corner[1] + int(self.n) * 100 + 50

    def text(self, style):
        if style == "bare":
            return f"{self.e} {self.n}"
        return f"{self.letters} {self.e} {self.n}" if style == "spaced" else f"{self.letters}{self.e}{self.n}".replace(" ", "")


def checkpoints_on(along, rng):
    at = [0]
    while along[-1] - along[at[-1]] > 3000:
        wanted = along[at[-1]] + rng.uniform(1000, 2600)
        at.append(next(i for i, m in enumerate(along) if m >= wanted))
    if along[-1] - along[at[-1]] < 900 and len(at) > 1:
        at.pop()
    return at + [len(along) - 1]


def card_of(line, along, grid, rng):
    """A card without a mistake."""
    metres = [grid.metres(*p) for p in line]
    at = checkpoints_on(along, rng)
    clock = 9 * 60
    legs = []
    for i, (a, b) in enumerate(zip(at, at[1:])):
        leg = Leg()
        leg.number = i + 1
        leg.refs = [Reference(grid, *metres[a]), Reference(grid, *metres[b])]
        leg.true_m = along[b] - along[a]
        leg.km = round(leg.true_m / 1000, 1)
        dx, dy = metres[b][0] - metres[a][0], metres[b][1] - metres[a][1]
        leg.straight_m = math.hypot(dx, dy)
        leg.bearing = math.degrees(math.atan2(dx, dy)) % 360
        leg.travel = max(5, 5 * round(leg.true_m / 1000 * 17 / 5))
        leg.rest = rng.choice([0, 0, 5, 10])
        leg.total = leg.travel + leg.rest
        clock += leg.total
        leg.arrive = clock
        leg.escape = rng.choice(["road to the village", "back the way we came", "farm track"])
        legs.append(leg)
    return legs, metres


def bearing_text(leg, style):
    if style == "degrees":
        return f"{round(leg.bearing) % 360:03}"
    step = 45 if style == "eight" else 22.5
    return POINTS[int(round(leg.bearing / step) * step / 22.5) % 16]


def written(legs, rng, style):
    """The card as CSV in one of the ways teams write it."""
    s = style["separator"]
    km = (lambda x: f"{x:.1f}".replace(".", ",")) if style["comma"] else (lambda x: f"{x:.1f}")
    refs = style["references"]
    rows = [["Team", "Fulmar"], ["Start time", "09:00"]]
    if refs == "bare":
        rows.append(["Grid square", legs[0].refs[0].letters])
    rows += [[], ["Leg", "From", "Grid reference", "To", "Grid reference", "Bearing", "Distance (km)", "Travel time (min)",
                  "Rest (min)", "Total time (min)", "ETA", "Escape"]]
    for leg in legs:
        reference = [r if isinstance(r, str) else r.text(refs) for r in leg.refs]
        rows.append([str(leg.number), f"Point {leg.number}", reference[0], f"Point {leg.number + 1}", reference[1],
                     getattr(leg, "bearing_text", None) or bearing_text(leg, style["bearings"]), km(leg.km), str(leg.travel), str(leg.rest),
                     str(leg.total), f"{leg.arrive // 60:02}:{leg.arrive % 60:02}", leg.escape])
        leg.line = len(rows)
    total = style["totals"]
    rows.append(["Total", "", "", "", "", "", km(total["km"]), str(total["travel"]), str(total["rest"]), str(total["total"]), "", ""])
    return style["end"].join(s.join(row) for row in rows) + style["end"]


def style_for(legs, rng):
    separator = rng.choice(";,\t")
    one_square = len({r.letters for leg in legs for r in leg.refs}) == 1
    return {"separator": separator, "comma": separator != "," and rng.random() < 0.3, "end": rng.choice(["\n", "\r\n"]),
            "references": rng.choice(["spaced", "joined"] + (["bare"] if one_square else [])),
            "bearings": rng.choice(["degrees", "degrees", "eight", "sixteen"]),
            "totals": {"km": sum(leg.km for leg in legs), "travel": sum(leg.travel for leg in legs),
                       "rest": sum(leg.rest for leg in legs), "total": sum(leg.total for leg in legs)}}


def far(grid_line, reference, metres=400):
    return distance_to_line(grid_line, *reference.middle()) > metres


def move(legs, index, reference):
    """A wrong reference of the place where a leg ends, in both rows that name it."""
    legs[index].refs[1] = reference
    if index + 1 < len(legs):
        legs[index + 1].refs[0] = reference


def transposed(reference, rng):
    half = rng.choice("en")
    digits = list(getattr(reference, half))
    i = rng.randrange(2)
    digits[i], digits[i + 1] = digits[i + 1], digits[i]
    setattr(reference, half, "".join(digits))


def other(reference):
    out = Reference.__new__(Reference)
    out.__dict__ = dict(reference.__dict__)
    return out


def plant(kind, legs, metres, grid, style, rng):
    """Plants a mistake; gives (rule, leg or None, words the finding must hold), or None where the card does not lend itself."""
    index = rng.randrange(len(legs))
    leg = legs[index]
    if kind == "distance":
        factor = rng.choice([rng.uniform(0.4, 0.7), rng.uniform(1.35, 1.9)])
        leg.km = round(leg.true_m * factor / 1000, 1)
        style["totals"]["km"] = sum(one.km for one in legs)
        return ("card-distance-off", leg, "") if abs(leg.km * 1000 - leg.true_m) > 350 else None
    if kind in ("bearing", "reversed"):
        if leg.straight_m < 500 or style["bearings"] != "degrees":
            return None
        turn = 180 if kind == "reversed" else rng.choice([-1, 1]) * rng.uniform(45, 135)
        leg.bearing_text = f"{round(leg.bearing + turn) % 360:03}"
        return ("card-bearing-reversed" if kind == "reversed" else "card-bearing-off", leg, "")
    if kind in ("swapped", "transposed", "wrong square", "off the line"):
        wrong = other(leg.refs[1])
        if kind == "swapped":
            wrong.e, wrong.n = wrong.n, wrong.e
        elif kind == "transposed":
            transposed(wrong, rng)
        elif kind == "wrong square":
            if style["references"] == "bare":
                return None
            east, north = wrong.corner
            east, north = rng.choice([(east - 1e5, north), (east + 1e5, north), (east, north - 1e5), (east, north + 1e5)])
            wrong.corner = (east, north)
            try:
                wrong.letters = grid.letters(east + 1, north + 1)
            except IndexError:
                return None
        else:
            angle, away = rng.uniform(0, 2 * math.pi), rng.uniform(600, 1500)
            x, y = leg.refs[1].middle()
            wrong = Reference(grid, x + away * math.sin(angle), y + away * math.cos(angle))
            if wrong.letters != leg.refs[1].letters:
                return None
        if not far(metres, wrong):
            return None
        move(legs, index, wrong)
        words = {"swapped": "easting and northing exchanged", "transposed": "two digits exchanged",
                 "wrong square": "letters of another square", "off the line": ""}[kind]
        return ("card-reference-off-the-line" if kind == "off the line" else "card-reference-wrong", leg, words)
    if kind == "not readable":
        text = leg.refs[1].text(style["references"])[:-1]
        move(legs, index, text)
        return ("card-reference-missing", leg, "cannot be read")
    if kind == "no escape":
        leg.escape = ""
        return ("card-escape-missing", leg, "")
    if kind == "leg sum":
        leg.total += rng.choice([5, 10, 20])
        style["totals"]["total"] = sum(one.total for one in legs)
        for one in legs[index:]:
            one.arrive += leg.total - leg.travel - leg.rest
        return ("card-leg-times-do-not-add-up", leg, "")
    if kind == "clock":
        late = rng.choice([-30, -10, 10, 30, 60])
        for one in legs[index:]:
            one.arrive += late
        return ("card-clock-does-not-add-up", leg, "")
    if kind == "total distance":
        style["totals"]["km"] += rng.choice([-1, 1, 2])
        return ("card-total-distance-off", None, "")
    if kind == "total time":
        style["totals"]["total"] += rng.choice([-20, 30, 60])
        return ("card-total-time-off", None, "")
    raise ValueError(kind)


KINDS = ["distance", "bearing", "reversed", "swapped", "transposed", "wrong square", "off the line", "not readable", "no escape",
         "leg sum", "clock", "total distance", "total time"]


def gpx(line):
    points = "".join(f'<trkpt lat="{lat:.7f}" lon="{lon:.7f}"/>' for lon, lat in line)
    return f'<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>{points}</trkseg></trk></gpx>\n'


def make(work, rng):
    """Writes lines and cards; gives what is known of each by county and stem."""
    lines = {county: [line for path in sorted((SHARED / "routes" / county).glob("*.exact.gpx"))
                      if len(line := line_of(path)) > 10] for county in COUNTIES}
    known = collections.defaultdict(dict)
    for number in range(2 * CARDS):
        kind = None if number >= CARDS else KINDS[number % len(KINDS)]
        county = list(COUNTIES)[number % 2] if number >= CARDS else list(COUNTIES)[number // len(KINDS) % 2]
        while True:
            line, along = cut_out(rng.choice(lines[county]), rng)
            if line is None:
                continue
            legs, metres = card_of(line, along, COUNTIES[county][1], rng)
            style = style_for(legs, rng)
            if kind is None:
                planted = None
                break
            planted = plant(kind, legs, metres, COUNTIES[county][1], style, rng)
            if planted:
                break
        stem = f"{number:03}-{(kind or 'clean').replace(' ', '-')}"
        folder = work / county
        folder.mkdir(parents=True, exist_ok=True)
        (folder / f"{stem}.gpx").write_text(gpx(line))
        (folder / f"{stem}.csv").write_bytes(written(legs, rng, style).encode(rng.choice(["utf-8", "utf-8-sig", "utf-16"])))
        known[county][stem] = (kind, planted, legs)
    return known


def on_leg(message, leg):
    return f"(line {leg.line})" in message


def judge(findings, kind, planted, legs):
    """(whether the planted mistake was found, the remarks that are false)"""
    found, false = planted is None, []
    for finding in findings:
        rule, message = finding["rule"], finding["message"]
        if not rule.startswith("card-") or rule in NO_FAULT:
            continue
        if planted:
            wanted, leg, words = planted
            if rule == wanted and (leg is None or on_leg(message, leg)) and words in message:
                found = True
                continue
        false.append(f"{rule}: {message}")
    return found, false


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("tool")
    parser.add_argument("--work")
    parser.add_argument("--verbose", action="store_true")
    parser.add_argument("--seed", type=int, default=20261125)
    options = parser.parse_args()
    if not SHARED.is_dir():
        print(f"skipped: no {SHARED}")
        sys.exit(77)
    by_hand.try_worked_example()
    work = pathlib.Path(options.work or tempfile.mkdtemp(prefix="cards-"))
    known = make(work, random.Random(options.seed))
    found, planted_of, legs_of, false_of = (collections.Counter() for _ in range(4))
    for county, cards in known.items():
        run = subprocess.run([options.tool, "check", str(work / county), "--map", str(SHARED / f"extracts/{COUNTIES[county][0]}.osm.pbf"),
                              "--format", "json", "--region", "general" if county == "liechtenstein" else "england"],
                             stdout=subprocess.PIPE, check=False)
        if run.returncode not in (0, 1, 3):
            sys.exit(f"the tool ended with {run.returncode}")
        routes = {pathlib.Path(r["path"] if "path" in r else r["source"]["path"]).stem: r for r in json.loads(run.stdout)["routes"]}
        for stem, (kind, planted, legs) in cards.items():
            ok, false = judge(routes[stem]["findings"], kind, planted, legs)
            side = "planted" if planted else "clean"
            legs_of[side] += len(legs)
            false_of[side] += len(false)
            if planted:
                planted_of[kind] += 1
                found[kind] += ok
            if options.verbose or (planted and not ok):
                for words in ([] if ok else ["NOT FOUND"]) + ["false: " + f for f in false]:
                    print(" ", county, stem, words)
    for kind in KINDS:
        print(f"{kind:15s} {found[kind]} of {planted_of[kind]} found")
    failed = sum(found.values()) < sum(planted_of.values())
    for side in ("clean", "planted"):
        share = 100 * false_of[side] / legs_of[side]
        failed = failed or share > FALSE_PER_100_LEGS
        print(f"{side:8s} {legs_of[side]} legs, {false_of[side]} false remarks: {share:.2f} for a hundred legs")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
