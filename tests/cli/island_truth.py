#!/usr/bin/python3
"""Holds the reports on the invented island's three walks against what was planted in them.

usage: island_truth.py WAYWARDEN

Every hazard in fixtures/routes/*.truth.json must be met by a finding of a rule that is made for it, within
60 m of the place or with the place in its stretch (and 60 m to either side); every way walked for more than
60 m must be named; the club's walk must be free of errors and warnings. The date is fixed: the age of the map
is counted to the start.
"""
import json
import math
import os
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
FIXTURES = os.path.join(HERE, "..", "..", "fixtures")
NEAR_M = 60.0
PARTY = {"team-day-1": "youth-expedition", "charity-loop": "charity-walk", "club-sund-round": "club-walk"}
# kind of hazard: the rules made for it, any of which will do, and the level that is the least
RULES = {
    "fast_road_no_pavement": ({"fast-road-without-pavement"}, "error"),
    "fast_road_presumed": ({"main-road-without-pavement", "fast-road-without-pavement"}, "error"),
    "long_lane": ({"lane-with-presumed-limit"}, "warning"),
    "private_way": ({"private-way", "walking-forbidden"}, "warning"),
    "private_gate": ({"private-gate"}, "warning"),
    "water_no_crossing": ({"water-with-no-way-over", "stream-with-no-way-over-off-path"}, "warning"),
    "off_path": ({"off-any-path", "off-path-through-private-ground"}, "warning"),
    "military": ({"military-or-danger-area"}, "error"),
    "gap": ({"long-gap-in-the-line"}, "error"),
    "rail_level_foot": ({"level-crossing"}, "warning"),
    "rail_level_road": ({"level-crossing"}, "warning"),
    "fast_road_crossing": ({"fast-road-crossed"}, "warning"),
    "locked_gate": ({"locked-gate"}, "error"),
    # of these only a party that must be free of steps hears: asked for with such a party
    "stile": ({"stile-where-step-free-is-needed"}, "error"),
    "steps": ({"steps-where-step-free-is-needed"}, "error"),
    "tidal": ({"covered-by-the-tide", "tidal-area-entered"}, "error"),
}
STEP_FREE = {"stile", "steps"}
LEVELS = ["note", "warning", "error"]


def metres(a, b):
    """Between two [lon, lat], on a sphere of 6371 km: good to 0.5 % here."""
    x = math.radians(b[0] - a[0]) * math.cos(math.radians((a[1] + b[1]) / 2))
    return 6371000 * math.hypot(x, math.radians(b[1] - a[1]))


def run(program, stem, party):
    route = os.path.join(FIXTURES, "routes", stem + ".gpx")
    done = subprocess.run([program, "check", route, "--map", os.path.join(FIXTURES, "island.osm.pbf"),
                           "--region", "england", "--party", party, "--start", "2027-05-15T09:30",
                           "--format", "json"], capture_output=True, text=True)
    if done.returncode not in (0, 1, 3):
        sys.exit("%s: exit code %d: %s" % (stem, done.returncode, done.stderr))
    return done.returncode, json.loads(done.stdout)["routes"][0]


def step_free_findings(program, stem):
    """What the same walk's party would hear if it could take no steps."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "party.json")
        with open(path, "w", encoding="utf-8") as f:
            json.dump({"format": "waywarden-party", "version": 1, "name": "wheels",
                       "title": "With pushchairs",
                       "builds_on": PARTY[stem], "who": {"step_free": True}}, f)
        return run(program, stem, path)[1]["findings"]


def meets(finding, hazard, rules, level):
    if finding["rule"] not in rules or LEVELS.index(finding["level"]) < LEVELS.index(level):
        return False
    return (metres(finding["position"], hazard["position"]) <= NEAR_M
            or finding["from_m"] - NEAR_M <= hazard["at_m"] <= finding["to_m"] + NEAR_M)


def check(program, stem):
    """The complaints about one walk."""
    with open(os.path.join(FIXTURES, "routes", stem + ".truth.json"), encoding="utf-8") as f:
        truth = json.load(f)
    code, result = run(program, stem, PARTY[stem])
    findings, wrong = result["findings"], []
    if abs(result["length_m"] - truth["length_m"]) > truth["length_m"] * 0.002:
        wrong.append("length %.0f m, drawn %d m" % (result["length_m"], truth["length_m"]))
    if any(h["kind"] in STEP_FREE for h in truth["hazards"]):
        findings = findings + step_free_findings(program, stem)
    for hazard in truth["hazards"]:
        rules, level = RULES[hazard["kind"]]
        if not any(meets(f, hazard, rules, level) for f in findings):
            near = sorted({f["rule"] for f in findings
                           if f["from_m"] - 100 <= hazard["at_m"] <= f["to_m"] + 100})
            wrong.append("not found at %d m: %s (%s); there: %s"
                         % (hazard["at_m"], hazard["what"], hazard["kind"], near))
    if not truth["hazards"]:
        wrong += ["%s %s at %.0f m: %s" % (f["level"], f["rule"], f["from_m"], f["message"])
                  for f in findings if f["level"] != "note"]
        if result["verdict"] != "no_objection" or code != 0:
            wrong.append("verdict %s, exit code %d" % (result["verdict"], code))
    wrong += ["walked but not matched: way/%d" % w for w in lost_ways(truth, result)]
    return ["%s: %s" % (stem, w) for w in wrong]


def lost_ways(truth, result):
    """Ways walked for more than 60 m, a clean line's error and then some, that the result does not name."""
    named = {s["osm"] for s in result["stretches"]}
    return [w["way"] for w in truth["ways"]
            if w["way"] and w["length_m"] > NEAR_M and "way/%d" % w["way"] not in named]


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    wrong = [w for stem in PARTY for w in check(sys.argv[1], stem)]
    print("\n".join(wrong) or "the reports on all three walks agree with what was planted")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
