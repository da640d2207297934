#!/usr/bin/python3
"""Runs one fuzz target: over its seeds and what was found before, or for a time with libFuzzer.

    run.py TARGET --replay
    run.py TARGET --test
    run.py TARGET --seconds 30 [--corpus FOLDER] [--seed 1]

Seeds stand in tests/fuzz/seeds/NAME and are made from the fixtures, the rules and the golden cases when it runs; what was found
stands in tests/fuzz/found/NAME.
With --corpus what the fuzzer learns is kept there for the next time. --seed 0 draws anew each time.
"""
import argparse
import json
import os
import pathlib
import subprocess
import sys
import tempfile

here = pathlib.Path(__file__).resolve().parent
project = here.parent.parent

# What --test does: a count and not a time, so that it is the same everywhere; some half a minute of the processor each.
TEST_RUNS = {"accepted": 90000, "card": 17000, "chain": 300, "grid_reference": 1000000, "map_file": 17000, "party": 180000,
             "prepared_map": 60000, "region": 100000, "result": 30000, "route": 350000, "rule_set": 35000, "tags": 35000,
             "times": 45000}

MAPS = sorted(project.glob("tests/golden/*/*.osm")) + sorted(project.glob("tests/golden/*/*.opl"))
ROUTES = sorted(project.glob("fixtures/routes/*.gpx")) + sorted(project.glob("tests/golden/*/*.gpx")) + \
    sorted(project.glob("tests/golden/*/*.geojson")) + sorted(project.glob("tests/golden/*/*.kml"))
RULES = [p for p in sorted(project.glob("rules/sets/*.json")) if "schema" not in p.name]
REGIONS = [p for p in sorted(project.glob("rules/regions/*.json")) if "schema" not in p.name]
RESULTS = [p for p in sorted(project.glob("tests/golden/*/out/*.json")) + sorted(project.glob("tests/golden/*/*.json"))
           if b'"waywarden-result"' in p.read_bytes()[:100]]


def small_json_rules():
    """Whole shipped sets are too long to change usefully; one rule each is not."""
    for path in RULES:
        whole = json.loads(path.read_text())
        for rule in whole["rules"][:12]:
            yield json.dumps({**{k: v for k, v in whole.items() if k != "rules"}, "builds_on": [], "rules": [rule]}).encode()


def small_results():
    """Whole results are longer than what is fuzzed; those with a few things of each kind are not."""
    def cut(value, most):
        if isinstance(value, dict):
            return {key: cut(one, most) for key, one in value.items()}
        if isinstance(value, list) and not all(isinstance(one, (int, float)) for one in value):
            return [cut(one, most) for one in value[:most]]
        return value[:60] + "..." if isinstance(value, str) and len(value) > 70 else value

    for path in RESULTS:
        whole = json.loads(path.read_text())
        for route in whole["routes"][:3]:
            for most in (1, 2):
                small = cut({**whole, "routes": [route]}, most)
                left = small["routes"][0]
                current = [one for one in left["findings"] if one.get("state") != "absent" and not one.get("accepted")]
                levels = {one["level"] for one in current}
                left["verdict"] = "cannot_vouch" if any(one["blocks_vouching"] for one in current) else \
                    "objections" if "error" in levels else "cautions" if "warning" in levels else "no_objection"
                yield json.dumps(small, separators=(",", ":")).encode()


# Readers of whole results need longer inputs.
MAX_LEN = {"result": 16384}
DICTIONARIES = {"route": "markup", "card": "card", "tags": "tags", "times": "times",
                "accepted": "json", "party": "json", "region": "json", "result": "json", "rule_set": "json"}


def options(name):
    """What libFuzzer is told. Its statistics of rare features cost up to two thirds of the time, so they are off."""
    word = DICTIONARIES.get(name)
    return ["-entropic=0", "-print_funcs=0", f"-max_len={MAX_LEN.get(name, 8192)}"] + ([f"-dict={here / (word + '.dict')}"] if word else [])


def seeds(name):
    yield from (p.read_bytes() for p in sorted((here / "seeds" / name).glob("*")))
    if name == "route":
        yield from (p.read_bytes()[:6000] for p in ROUTES)
        yield b'<kml xmlns="http://www.opengis.net/kml/2.2"><Placemark><LineString><coordinates>3,56 3.01,56.01</coordinates></LineString></Placemark></kml>'
        yield b'{"type":"LineString","coordinates":[[3,56],[3.01,56.01]]}'
    elif name == "card":
        yield (project / "docs/route-card-template.csv").read_bytes()
        yield from (p.read_bytes() for p in sorted(project.glob("tests/golden/*/*.csv"))[:6])
    elif name == "rule_set":
        yield from small_json_rules()
    elif name == "region":
        for p in REGIONS:
            region = json.loads(p.read_text())
            region["boundary"] = [ring[:5] for ring in region.get("boundary", [])[:1]]
            yield json.dumps(region).encode()
    elif name == "prepared_map":
        yield b"\x01"
        yield b"\x00walking map\r\n\x1a\n\x00"
        yield from (bytes([1, part, 0, place, kind, 0x7F]) for part in range(8) for place in (0, 3, 9) for kind in range(5))
    elif name == "party":
        yield from (p.read_bytes() for p in sorted(project.glob("rules/parties/*.json")) if "schema" not in p.name)
    elif name == "result":
        yield from small_results()
    elif name == "accepted":
        yield from (p.read_bytes() for p in sorted(project.glob("tests/golden/*/*.json")) + sorted(project.glob("tests/golden/*/out/*.json"))
                    if b"waywarden-accepted" in p.read_bytes()[:200])
    elif name == "times":
        for line in (project / "tests/map/hours_cases.txt").read_text().splitlines()[:400]:
            yield line.split("\t")[0].encode()
        yield b"no @ (Mar 01-Jul 31); yes @ (Mo-Fr 08:00-18:00 AND wet)"
    elif name == "tags":
        yield b"highway=tertiary\nmaxspeed=60 mph\nsidewalk=left\n"
        yield b"highway=path\nfoot:conditional=no @ (Oct-Mar)\naccess=private\ndesignation=public_footpath\n"
        yield b"barrier=gate\nopening_hours=sunrise-sunset\nlocked=yes\n"
    elif name == "grid_reference":
        yield from (b"SK 914 113", b"sk914113", b"O 159 346", b"30U XC 644 394", b"TG 51409 13177", b"HU4715")
    elif name == "map_file":
        for p in MAPS:
            yield (b"\x00" if p.suffix == ".osm" else b"\x01") + p.read_bytes()[:6000]
        yield b"\x01n1 v1 x3.0 y56.0\nn2 v1 x3.01 y56.005\nn3 v1 x3.0 y56.01\nw1 v1 Thighway=path Nn1,n2\nw2 v1 Tnatural=water Nn1,n2,n3,n1\n" \
              b"r1 v1 Ttype=multipolygon,natural=water Mw2@outer\n"
    else:
        yield b""
        yield bytes(range(1, 200))


def run(command, **how):
    """As subprocess.run; then removes what the target left in memory for readers that take a path."""
    scratch = pathlib.Path("/dev/shm")
    before = set(scratch.glob("waywarden-fuzz-*"))
    done = subprocess.run(command, **how)
    for path in set(scratch.glob("waywarden-fuzz-*")) - before:
        pid = path.name.split("-")[2].split(".")[0]
        if not pathlib.Path("/proc", pid).exists():
            path.unlink(missing_ok=True)
    return done


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("target", type=pathlib.Path)
    ask.add_argument("--replay", action="store_true")
    ask.add_argument("--test", action="store_true")
    ask.add_argument("--seconds", type=int, default=30)
    ask.add_argument("--corpus", type=pathlib.Path)
    ask.add_argument("--seed", type=int, default=1)
    a = ask.parse_args()
    name = a.target.name.removeprefix("fuzz_")
    found = here / "found" / name
    with tempfile.TemporaryDirectory() as work:
        folder = pathlib.Path(work, "seeds")
        folder.mkdir()
        for i, one in enumerate(seeds(name)):
            (folder / f"{i:04d}").write_bytes(one)
        folders = [folder] + ([found] if found.exists() else [])
        if a.replay:
            sys.exit(run([a.target, *folders], timeout=900).returncode)
        corpus = a.corpus or pathlib.Path(work, "corpus")
        corpus.mkdir(parents=True, exist_ok=True)
        keep = pathlib.Path(work, "crash-") if not a.corpus else corpus.parent / f"{name}-crash-"
        limit = f"-runs={TEST_RUNS[name]}" if a.test else f"-max_total_time={a.seconds}"
        done = run([a.target, limit, "-timeout=60", "-rss_limit_mb=1500", "-print_final_stats=1",
                    f"-seed={a.seed}", f"-artifact_prefix={keep}", *options(name), corpus, *folders],
                   capture_output=True, text=True, env=dict(os.environ, UBSAN_OPTIONS=f"halt_on_error=1:print_stacktrace=1:suppressions={here / 'ubsan.supp'}"))
        print("\n".join(line for line in done.stderr.splitlines() if line.startswith("stat::") or "DONE" in line))
        if done.returncode != 0:
            print(done.stderr[-6000:])
            for crash in keep.parent.glob(keep.name + "*"):
                print(f"{crash.name}: {crash.read_bytes()[:2000]!r}")
        sys.exit(done.returncode)


main()
