#!/usr/bin/python3
"""Holds the reports on the invented island's three walks against what was planted in them.

usage: island_truth.py WAYWARDEN

Every hazard in fixtures/routes/*.truth.json must be met by a finding of a rule that is made for it, within
60 m of the place or with the place in its stretch (and 60 m to either side); the club's walk must be free of
errors and warnings. The date is fixed: the age of the map is counted to the start.
"""
import json
import math
import os
import subprocess
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
FIXTURES = os.path.join(HERE, "..", "..", "fixtures")
NEAR_M = 60.0
PARTY = {"team-day-1": "youth-expedition", "charity-loop": "charity-walk", "club-sund-round": "club-walk"}
RULES = {}  # kind of hazard: ids of the rules, any of which answers it, and the level it must have at least
LEVELS = ["note", "warning", "error"]


def metres(a, b):
    """Between two [lon, lat], on a sphere of 6371 km: good to 0.5 % here."""
    x = math.radians(b[0] - a[0]) * math.cos(math.radians((a[1] + b[1]) / 2))
    return 6371000 * math.hypot(x, math.radians(b[1] - a[1]))


def run(program, stem):
    route = os.path.join(FIXTURES, "routes", stem + ".gpx")
    done = subprocess.run([program, "check", route, "--map", os.path.join(FIXTURES, "island.osm.pbf"),
                           "--region", "england",
                           "--party", PARTY[stem], "--start", "2027-05-15T09:30", "--format", "json"],
                          capture_output=True, text=True)
    assert done.returncode in (0, 1, 3), "%s: exit %d: %s" % (stem, done.returncode, done.stderr)
    return done.returncode, json.loads(done.stdout)["routes"][0]


def meets(finding, hazard, rules, level):
    if finding["rule"] not in rules or LEVELS.index(finding["level"]) < LEVELS.index(level):
        return False
    return (metres(finding["position"], hazard["position"]) <= NEAR_M
            or finding["from_m"] - NEAR_M <= hazard["at_m"] <= finding["to_m"] + NEAR_M)


def check(program, stem):
    """The complaints about one walk."""
    with open(os.path.join(FIXTURES, "routes", stem + ".truth.json"), encoding="utf-8") as f:
        truth = json.load(f)
    code, result = run(program, stem)
    findings, wrong = result["findings"], []
    if abs(result["length_m"] - truth["length_m"]) > truth["length_m"] * 0.005:
        wrong.append("length %.0f m, drawn %d m" % (result["length_m"], truth["length_m"]))
    for hazard in truth["hazards"]:
        rules, level = RULES[hazard["kind"]]
        if not any(meets(f, hazard, rules, level) for f in findings):
            near = sorted({f["rule"] for f in findings
                           if f["from_m"] - 100 <= hazard["at_m"] <= f["to_m"] + 100})
            wrong.append("not found at %d m: %s (%s); there: %s" % (hazard["at_m"], hazard["what"],
                                                                    hazard["kind"], near))
    if not truth["hazards"]:
        wrong += ["%s %s at %.0f m: %s" % (f["level"], f["rule"], f["from_m"], f["message"])
                  for f in findings if f["level"] != "note"]
        if result["verdict"] != "no_objection" or code != 0:
            wrong.append("verdict %s, exit code %d" % (result["verdict"], code))
    return ["%s: %s" % (stem, w) for w in wrong]


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    wrong = [w for stem in PARTY for w in check(sys.argv[1], stem)]
    print("\n".join(wrong) or "the reports on all three walks agree with what was planted")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
