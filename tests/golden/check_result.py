#!/usr/bin/python3
"""Checks JSON results against docs/result.schema.json and against what a schema cannot say.

    check_result.py RESULT.json...
"""
import json
import sys
from pathlib import Path

import jsonschema

SCHEMA = Path(__file__).resolve().parents[2] / "docs" / "result.schema.json"


def verdict_of(findings):
    """The rule of the published format: cannot_vouch outranks an error, which outranks a warning."""
    findings = [f for f in findings if f.get("state") != "absent"]
    if any(f["blocks_vouching"] for f in findings):
        return "cannot_vouch"
    levels = {f["level"] for f in findings if "accepted" not in f}
    return "objections" if "error" in levels else "cautions" if "warning" in levels else "no_objection"


def route_problems(route):
    stretches = route["stretches"]
    ends = [0.0]
    for i, one in enumerate(stretches):
        if one["from_m"] != ends[-1]:
            yield f"stretch {i} begins at {one['from_m']}, not at {ends[-1]}"
        if one["to_m"] < one["from_m"]:
            yield f"stretch {i} ends before it begins"
        ends.append(one["to_m"])
    if abs(ends[-1] - route["length_m"]) > 0.011:
        yield f"the stretches end at {ends[-1]}, the route at {route['length_m']}"
    if abs(sum(route["by_access"].values()) - route["length_m"]) > 0.01 * (len(route["by_access"]) + 1):
        yield "by_access does not add up to the length"
    if route["verdict"] != verdict_of(route["findings"]):
        yield f"the verdict is {route['verdict']}, the findings say {verdict_of(route['findings'])}"
    for i, finding in enumerate(route["findings"]):
        if finding.get("state") == "absent":
            continue  # its metres are those of the earlier line
        if not 0 <= finding["from_m"] <= finding["to_m"] <= route["length_m"] + 0.011:
            yield f"finding {i} ({finding['rule']}) is not on the route"
    numbers = [f["number"] for f in route["findings"] if f.get("state") != "absent"]
    if sorted(numbers) != list(range(1, len(numbers) + 1)):
        yield f"the numbers of the findings are {numbers}"
    if any(f["blocks_vouching"] and "accepted" in f for f in route["findings"]):
        yield "a finding that blocks vouching is accepted"
    places = [c["at_m"] for c in route["crossings"]]
    if places != sorted(places):
        yield "the crossings are not in order of the walk"
    if not route["not_seen"]:
        yield "not_seen is empty: every route has something no map can tell"


def problems(result):
    validator = jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text()))
    wrong = [f"{e.json_path}: {e.message[:200]}" for e in validator.iter_errors(result)]
    if wrong:
        return wrong
    return [f"route {route['name']}: {p}" for route in result["routes"] for p in route_problems(route)]


if __name__ == "__main__":
    bad = [f"{path}: {p}" for path in sys.argv[1:] for p in problems(json.loads(Path(path).read_text()))]
    print("\n".join(bad))
    sys.exit(1 if bad or len(sys.argv) < 2 else 0)
