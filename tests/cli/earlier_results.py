#!/usr/bin/python3
"""Accepting findings, comparing with an earlier result, decisions on record, collecting results: whole runs on the island.

    earlier_results.py PROGRAM
"""
import hashlib
import json
import subprocess
import sys
import tempfile
from pathlib import Path

import jsonschema

PROJECT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(PROJECT / "tests" / "golden"))
from check_result import problems  # noqa: E402

ROUTES = sorted(f"fixtures/routes/{p.name}" for p in (PROJECT / "fixtures/routes").glob("*.gpx"))
TEAM = "fixtures/routes/team-day-1.gpx"
WRONG = []


def check(truth, what):
    if not truth:
        WRONG.append(what)


class Program:
    def __init__(self, path, folder):
        self.path, self.folder = path, folder

    def run(self, *args, code):
        done = subprocess.run([self.path, *args], cwd=PROJECT, capture_output=True, text=True, timeout=300)
        check(done.returncode == code, f"{' '.join(args)}: exit code {done.returncode}, not {code}: {done.stderr}")
        check(code != 2 or (not done.stdout and done.stderr.count("\n") == 1), f"{args}: not one line: {done.stderr}")
        return done

    def result(self, name, *more, route=TEAM, start="2026-12-05", code=1):
        done = self.run("check", route, "--map", "fixtures/island.osm.pbf", "--region", "england", "--start", start,
                        "--format", "json", *more, code=code)
        path = self.folder / name
        path.write_text(done.stdout)
        result = json.loads(done.stdout)
        for wrong in problems(result):
            check(False, f"{name}: {wrong}")
        return path, result["routes"][0], done.stderr


def errors(route):
    return [f for f in route["findings"] if f["level"] == "error" and f.get("state") != "absent"]


def accepting(program, folder):
    before, route, _ = program.result("before.json")
    accepted = folder / "accepted.json"
    words = ("--by", "expedition supervisor", "--why", "seen on the ground", "-o", str(accepted))
    program.run("accept", str(before), "1", *words, "--until", "2027-03-01", code=0)
    first = json.loads(accepted.read_text())
    for one in errors(route)[1:]:
        program.run("accept", str(before), str(one["number"]), *words, "--until", "2027-03-01", code=0)
    everything = json.loads(accepted.read_text())
    check(everything["accepted"][0] == first["accepted"][0], "accept: what was there has changed")
    check(len(everything["accepted"]) == len(errors(route)), "accept: not every finding was added")
    schema = json.loads((PROJECT / "docs/accepted.schema.json").read_text())
    for e in jsonschema.Draft202012Validator(schema).iter_errors(everything):
        check(False, f"accepted.json: {e.json_path}: {e.message[:200]}")

    _, after, said = program.result("after.json", "--accepted", str(accepted), code=0)
    check(after["verdict"] == "cautions", f"accepted objections still count: {after['verdict']}")
    check(len(errors(after)) == len(errors(route)), "accepted findings are no longer shown")
    check(all("accepted" in f for f in errors(after)), "an accepted finding does not say so")
    check(said == "", f"nothing was left over: {said}")

    _, last, said = program.result("expired.json", "--accepted", str(accepted), start="2027-03-01", code=0)
    _, late, said = program.result("expired.json", "--accepted", str(accepted), start="2027-03-02")
    check(late["verdict"] == "objections" and not any("accepted" in f for f in late["findings"]), "it never expires")
    check("expired" in said and "acceptance_lapsed" in errors(late)[0], "that it has expired is not said")

    _, other, said = program.result("party.json", "--accepted", str(accepted), "--party", "club-walk")
    check(not any("accepted" in f for f in other["findings"]), "accepted for one party, counted for another")
    worse(program, folder, accepted)
    return before, accepted, route


def worse(program, folder, accepted):
    """What was accepted is not what is there now: tags, level, length, objects, a place 60 m away."""
    def tags(e): e["finding"]["evidence"][0]["tags"]["maxspeed"] = "40 mph"
    def level(e): e["finding"]["level"] = "warning"
    def length(e): e["finding"]["to_m"] = e["finding"]["from_m"]
    def objects(e): e["finding"]["evidence"] = e["finding"]["evidence"][1:] or [{"osm": "way/1", "tags": {}}]
    def place(e): e["finding"]["position"][1] += 0.00054
    def route(e): e["route"] = "Team Fulmar, day 2"
    for change in (tags, level, length, objects, place, route):
        whole = json.loads(accepted.read_text())
        change(whole["accepted"][0])
        path = folder / f"{change.__name__}.json"
        path.write_text(json.dumps(whole))
        _, now, _ = program.result("worse.json", "--accepted", str(path))
        check(len([f for f in errors(now) if "accepted" not in f]) == 1, f"accepted in spite of other {change.__name__}")


def refusals(program, folder, before):
    out = str(folder / "refused.json")
    words = ("--by", "leader", "--why", "seen", "-o", out)
    program.run("accept", str(before), "999", *words, "--until", "2027-03-01", code=2)
    program.run("accept", str(before), "1", *words, "--until", "2026-12-04", code=2)
    program.run("accept", str(before), "1", *words, "--until", "2027-02-30", code=2)
    program.run("accept", str(before), "1", "--by", "leader", "--why", " ", "-o", out, "--until", "2027-03-01", code=2)
    program.run("accept", TEAM, "1", *words, "--until", "2027-03-01", code=2)
    program.run("accept", str(before), "1", "--by", "leader", "--why", "seen", "-o", str(before), "--until", "2027-03-01",
                code=2)
    check("waywarden-result" in before.read_text()[:100], "accept wrote over a result")
    check(not Path(out).exists(), "a refused acceptance left a file")
    off = folder / "off.gpx"
    off.write_text('<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>Off</name><trkseg>'
                   '<trkpt lat="57.2" lon="3.5"/><trkpt lat="57.21" lon="3.5"/></trkseg></trk></gpx>')
    blocked, route, _ = program.result("off.json", route=str(off), code=3)
    number = next(f["number"] for f in route["findings"] if f["blocks_vouching"])
    program.run("accept", str(blocked), str(number), *words, "--until", "2027-03-01", code=2)
    changed = json.loads(before.read_text())
    changed["routes"][0]["verdict"] = "no_objection"
    (folder / "changed.json").write_text(json.dumps(changed))
    program.run("collect", str(folder / "changed.json"), "--out", str(folder / "x"), code=2)
    return blocked


def comparing(program, folder, before, route):
    _, same, said = program.result("same.json", "--against", str(before))
    check({f["state"] for f in same["findings"]} == {"unchanged"} and said == "", "the same run is not unchanged")
    old = json.loads(before.read_text())
    findings = old["routes"][0]["findings"]
    gone = dict(findings[0], rule="glacier", title="The route enters a glacier", level="error")
    findings[0:1] = [gone]
    (folder / "old.json").write_text(json.dumps(old | {"routes": [old["routes"][0] | {"verdict": "objections"}]}))
    _, now, _ = program.result("now.json", "--against", str(folder / "old.json"))
    states = [f["state"] for f in now["findings"]]
    check(states.count("new") == 1 and states.count("absent") == 1, f"states: {states}")
    check(now["findings"][-1]["rule"] == "glacier" and now["verdict"] == route["verdict"], "an absent one counts")
    _, _, said = program.result("other.json", "--against", str(folder / "old.json"), "--party", "club-walk")
    check("party" in said, "nothing says that the parties differ")


def telling_why(program, folder, before):
    """An earlier map with other ways, numbers and words, told by an earlier result that says so."""
    old = json.loads(before.read_text())
    route = old["routes"][0]
    found = [f["rule"] for f in route["findings"]]
    for one in route["findings"]:
        for e in one["evidence"]:
            e["osm"] = e["osm"] + "99"
    for one in route["stretches"] + route["crossings"]:
        one["osm"] = one["osm"] and one["osm"] + "99"
    path = folder / "renumbered.json"
    path.write_text(json.dumps(old))
    _, now, _ = program.result("now.json", "--against", str(path))
    check({f["state"] for f in now["findings"]} == {"unchanged"}, "other numbers make findings new or gone")
    check(now["changes"] == [], f"other numbers are told as changes: {now['changes'][:3]}")

    longest = max(route["stretches"], key=lambda s: s["to_m"] - s["from_m"])
    was = longest["facts"]["right"]
    longest["facts"]["right"] = "restricted" if was != "restricted" else "recorded"
    weighty = next(f for f in route["findings"] if f["level"] != "note")
    weighty["level"] = "note"
    route["verdict"] = verdict_of(route["findings"])
    path.write_text(json.dumps(old))
    _, now, _ = program.result("now.json", "--against", str(path))
    worse = [f for f in now["findings"] if f["state"] == "new"]
    check([f["rule"] for f in worse] == [weighty["rule"]], f"a higher level is not new: {[f['rule'] for f in worse]}")
    check(all("as a note" in f.get("state_why", "") for f in worse), f"{worse}: not why it is new")
    check(any("right on foot" in c["text"] for c in now["changes"]), f"not told: {now['changes']}")
    check(found == [f["rule"] for f in now["findings"] if f["state"] != "absent"], "other findings")
    shown = ["--map", "fixtures/island.osm.pbf", "--region", "england", "--start", "2026-12-05", "--against", str(path)]
    for form in ("text", "html"):
        words = " ".join(program.run("check", TEAM, *shown, "--format", form, code=1).stdout.split())
        check("What the map says otherwise" in words and "right on foot" in words, f"{form}: the changes are not shown")
        check("as a note" in words, f"{form}: why it is new is not shown")
    program.run("check", *ROUTES, *shown, "--format", "json", "--out", str(folder / "told"), code=1)
    program.run("collect", *[str(folder / "told" / (Path(r).stem + ".json")) for r in ROUTES], "--out", str(folder / "told2"), code=1)
    check((folder / "told/summary.json").read_bytes() == (folder / "told2/summary.json").read_bytes(),
          "collect does not keep what is told of the earlier result")


def clashing(program, folder):
    """`a` as legs and `a.legs` as csv would be one file: refused before anything is written."""
    for name in ("a.gpx", "a.legs.gpx"):
        (folder / name).write_text((PROJECT / TEAM).read_text())
    out = folder / "clash"
    shared = [str(folder / "a.gpx"), str(folder / "a.legs.gpx"), "--map", "fixtures/island.osm.pbf", "--region", "england", "--out", str(out)]
    said = program.run("check", *shared, "--format", "csv", "--format", "legs", code=2).stderr
    check("a.legs.csv" in said and not list(out.glob("*")), f"two reports under one name: {said}")
    program.run("check", *shared, "--format", "csv", "--start", "2026-12-05", code=1)


def verdict_of(findings):
    if any(f["blocks_vouching"] for f in findings):
        return "cannot_vouch"
    levels = {f["level"] for f in findings}
    return "objections" if "error" in levels else "cautions" if "warning" in levels else "no_objection"


def sarif(program, accepted, before):
    done = program.run("check", TEAM, "--map", "fixtures/island.osm.pbf", "--region", "england", "--start", "2026-12-05",
                       "--format", "sarif", "--accepted", str(accepted), "--against", str(before), code=0)
    results = json.loads(done.stdout)["runs"][0]["results"]
    check(all(r["baselineState"] == "unchanged" for r in results), "SARIF 3.27.24: baselineState")
    check(all("suppressions" in r for r in results), "SARIF 3.27.23: on all results or on none")
    check(all(bool(r["suppressions"]) == (r["level"] == "error") for r in results), "SARIF 3.27.23: the accepted ones")
    schema = PROJECT.parent / "shared/data/reference/sarif-schema-2.1.0.json"
    if schema.exists():
        for e in jsonschema.Draft4Validator(json.loads(schema.read_text())).iter_errors(json.loads(done.stdout)):
            check(False, f"sarif: {e.message[:200]}")


def deciding(program, folder, before, blocked):
    path = folder / "decision.json"
    said = program.run("decide", str(before), "--yes-if", "it is dry", "--by", "leader", "-o", str(path), code=0).stderr
    check("objections" in said, "nothing says what the yes is said in spite of")
    record = json.loads(path.read_text())
    check(record["result"]["sha256"] == hashlib.sha256(before.read_bytes()).hexdigest(), "the hash is not SHA-256")
    check((record["decision"], record["text"], record["by"]) == ("yes-if", "it is dry", "leader"), f"{record}")
    check(record["map"][0]["data_until"] and record["tool"]["version"], "versions are missing")
    program.run("decide", str(before), "--yes", "--by", "leader", "-o", str(path), code=2)
    check(json.loads(path.read_text()) == record, "a record was written over")
    program.run("decide", str(before), "--by", "leader", "-o", str(folder / "none.json"), code=2)
    program.run("decide", str(before), "--yes", "--not-yet", "x", "--by", "leader", "-o", str(folder / "n.json"), code=2)
    said = program.run("decide", str(blocked), "--yes", "--by", "leader", "-o", str(folder / "y.json"), code=0).stderr
    check("could not be checked" in said, "a yes to what was not checked is said nothing about")
    program.run("decide", str(before), "--not-yet", "a bridge", "--by", "leader", "-o", str(folder / "later.json"), code=0)
    records = [json.loads((folder / name).read_text()) for name in ("decision.json", "y.json", "later.json")]
    schema = jsonschema.Draft202012Validator(json.loads((PROJECT / "docs/decision.schema.json").read_text()))
    for one in records:
        for e in schema.iter_errors(one):
            check(False, f"decision.schema.json, {one['decision']}: {e.message[:200]}")
    for wrong in ({"text": None}, {"by": " "}, {"decision": "maybe"}, {"result": {"path": "x", "sha256": "0"}}, {"more": 1}):
        spoilt = {k: v for k, v in {**records[0], **wrong}.items() if v is not None}
        check(not schema.is_valid(spoilt), f"decision.schema.json takes {wrong}")
    check(not schema.is_valid({**records[1], "text": "if"}), "decision.schema.json takes a yes with a condition")


def collecting(program, folder, accepted):
    """Results of one run, each on its own, give its summary byte for byte; so do those of several runs."""
    shared = ["--map", "fixtures/island.osm.pbf", "--region", "england", "--start", "2026-12-05", "--format", "json",
              "--format", "csv", "--format", "text", "--accepted", str(accepted)]
    program.run("check", *ROUTES, *shared, "--out", str(folder / "all"), code=1)
    program.run("check", ROUTES[0], *shared, "--out", str(folder / "one"), code=1)
    program.run("check", *ROUTES[1:], *shared, "--out", str(folder / "two"), code=0)
    singles = [str(folder / "all" / (Path(r).stem + ".json")) for r in ROUTES]
    for name, results in (("a", singles), ("b", [singles[0].replace("/all/", "/one/"), str(folder / "two/summary.json")])):
        program.run("collect", *results, "--out", str(folder / name), code=1)
        for ending in ("json", "csv", "txt"):
            mine, whole = folder / name / f"summary.{ending}", folder / "all" / f"summary.{ending}"
            check(mine.read_bytes() == whole.read_bytes(), f"collect: {name}/summary.{ending} is not that of one run")
    program.run("collect", *singles, "--fail-on", "never", "--out", str(folder / "c"), code=0)
    program.run("collect", singles[1], "--fail-on", "note", "--out", str(folder / "c"), code=1)
    program.run("collect", *singles, singles[0], "--out", str(folder / "d"), code=2)
    program.run("collect", singles[0], str(folder / "party.json"), "--out", str(folder / "d"), code=2)
    program.run("collect", str(folder / "all/summary.json"), "--out", str(folder / "all"), code=2)


def main():
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        program = Program(str(Path(sys.argv[1]).resolve()), folder)
        before, accepted, route = accepting(program, folder)
        blocked = refusals(program, folder, before)
        comparing(program, folder, before, route)
        telling_why(program, folder, before)
        clashing(program, folder)
        sarif(program, accepted, before)
        deciding(program, folder, before, blocked)
        collecting(program, folder, accepted)
    print("\n".join(WRONG))
    sys.exit(1 if WRONG else 0)


if __name__ == "__main__":
    main()
