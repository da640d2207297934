#!/usr/bin/python3
"""Checks reports in open formats with the published schemas of those formats: SARIF 2.1.0 (OASIS), GeoJSON (RFC 7946, the
schema of the GeoJSON project), GPX 1.1 (Topografix). Runs the program on the island, and on a route across 180 degrees.

    open_formats.py PROGRAM FOLDER_OF_SCHEMAS
"""
import csv
import io
import json
import subprocess
import sys
import tempfile
from pathlib import Path

import jsonschema

PROJECT = Path(__file__).resolve().parents[2]
FORMATS = ["json", "sarif", "geojson", "gpx", "csv"]


def reports(program, routes, out, *more, names=tuple(FORMATS)):
    formats = [word for name in names for word in ("--format", name)]
    done = subprocess.run([program, "check", *routes, "--map", "fixtures/island.osm.pbf", "--start", "2026-12-05",
                           *formats, "--out", str(out), *more], cwd=PROJECT, capture_output=True, text=True)
    if done.returncode not in (1, 3) or done.stderr:
        yield f"exit code {done.returncode}: {done.stderr}"


def schema_problems(validator, path):
    for e in list(validator.iter_errors(json.loads(path.read_text())))[:5]:
        yield f"{path.name}: {'/'.join(map(str, e.absolute_path))}: {e.message[:200]}"


def sarif_problems(path, result):
    """What the schema leaves to the words of the standard."""
    run = json.loads(path.read_text())["runs"][0]
    findings = [f for route in result["routes"] for f in route["findings"]]
    if len(run["results"]) != len(findings):
        yield f"{path.name}: {len(run['results'])} results for {len(findings)} findings"
    for i, one in enumerate(run["results"]):
        if one["kind"] != "fail" and one["level"] != "none":
            yield f"{path.name}: result {i}: 3.27.10: kind {one['kind']} has level {one['level']}"
        if run["tool"]["driver"]["rules"][one["ruleIndex"]]["id"] != one["ruleId"]:
            yield f"{path.name}: result {i}: 3.27.6: ruleIndex does not lead to ruleId"
        region = one["locations"][0]["physicalLocation"].get("region")
        if not region or region["endLine"] < region["startLine"]:
            yield f"{path.name}: result {i}: 3.30: has no right region: {region}"
    if len({"suppressions" in one for one in run["results"]}) > 1:
        yield f"{path.name}: 3.27.23: suppressions on some results and not on others"
    levels = sorted(one["properties"]["level"] for one in run["results"])
    if levels != sorted(f["level"] for f in findings):
        yield f"{path.name}: the levels are not those of the JSON result"


def steps(geometry):
    lines = {"LineString": lambda c: [c], "MultiLineString": lambda c: c}.get(geometry["type"], lambda c: [])
    for line in lines(geometry["coordinates"]):
        yield from zip(line, line[1:])


def geojson_problems(path, result):
    whole = json.loads(path.read_text())
    if "crs" in whole:
        yield f"{path.name}: RFC 7946, 4: has a crs"
    for i, feature in enumerate(whole["features"]):
        for a, b in steps(feature["geometry"]):
            if abs(a[0] - b[0]) > 180:
                yield f"{path.name}: RFC 7946, 3.1.9: feature {i} is not cut at 180 degrees"
    kinds = [f["properties"]["kind"] for f in whole["features"]]
    for kind, many in (("stretch", "stretches"), ("crossing", "crossings"), ("finding", "findings")):
        expected = sum(len(route[many]) for route in result["routes"])
        if kinds.count(kind) != expected:
            yield f"{path.name}: {kinds.count(kind)} of kind {kind}, not {expected}"


def csv_problems(path, result):
    data = path.read_bytes()
    if b"\n" in data.replace(b"\r\n", b""):
        yield f"{path.name}: RFC 4180, 2.1: a line does not end in CRLF"
    rows = list(csv.reader(io.StringIO(data.decode(), newline=""), strict=True))
    if len({len(row) for row in rows}) != 1:
        yield f"{path.name}: RFC 4180, 2.4: lines of different length"
    expected = len(result["routes"]) if path.stem == "summary" else sum(len(r["findings"]) for r in result["routes"])
    if len(rows) - 1 != expected:
        yield f"{path.name}: {len(rows) - 1} lines, not {expected}"


def gpx_problems(path, schema):
    done = subprocess.run(["xmllint", "--noout", "--schema", str(schema), str(path)], capture_output=True, text=True)
    if done.returncode:
        yield f"{path.name}: {done.stderr[:500]}"


def sheet_problems(program, routes, out, schema, *more):
    """The organiser's sheet: GPX by its schema; a table in which no cell is empty and none is a formula."""
    yield from reports(program, routes, out, "--party", "charity-walk", "--for", "marshals", *more, names=("gpx", "csv"))
    paths = sorted(out.glob("*.marshals.gpx"))
    if not paths:
        yield f"{out.name}: no sheet was written"
    for path in paths:
        yield from gpx_problems(path, schema)
        data = path.with_suffix(".csv").read_bytes()
        if b"\n" in data.replace(b"\r\n", b""):
            yield f"{path.stem}.csv: RFC 4180, 2.1: a line does not end in CRLF"
        rows = list(csv.reader(io.StringIO(data.decode(), newline=""), strict=True))
        if len({len(row) for row in rows}) != 1 or len(rows) < 2:
            yield f"{path.stem}.csv: RFC 4180, 2.4: lines of different length, or none"
        for i, cell in ((i, cell) for i, row in enumerate(rows) for cell in row):
            if not cell.strip() or (cell[0] in "=+@" or (cell[0] == "-" and cell != "-")) and not is_number(cell):
                yield f"{path.stem}.csv: line {i + 1}: the cell {cell!r}"


def is_number(cell):
    try:
        return float(cell) is not None
    except ValueError:
        return False


HOSTILE = ('<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>'
           '=cmd|&quot;/c&quot;!A1 &lt;b&gt; ]]&gt; [a](b) {0} &#x202E;x\ufffe</name><trkseg>'
           '<trkpt lat="-16.5" lon="179.999"><ele>3</ele></trkpt>\n<trkpt lat="-16.5005" lon="-180"/>\n'
           '<trkpt lat="-16.501" lon="-179.999"/></trkseg></trk></gpx>')


def all_problems(program, schemas, out):
    sarif = jsonschema.Draft4Validator(json.loads((schemas / "sarif-schema-2.1.0.json").read_text()))
    geojson = jsonschema.Draft7Validator(json.loads((schemas / "geojson-schema-GeoJSON.json").read_text()))
    hostile = out / "across & 180 [a].gpx"
    hostile.write_text(HOSTILE, encoding="utf-8")
    walks = sorted(str(path.relative_to(PROJECT)) for path in PROJECT.glob("fixtures/routes/*.gpx"))
    yield from reports(program, walks, out / "island", "--region", "england")
    yield from reports(program, [str(hostile)], out / "hostile")
    yield from sheet_problems(program, walks, out / "sheets", schemas / "gpx.xsd", "--region", "england")
    yield from sheet_problems(program, [str(hostile)], out / "hostile-sheet", schemas / "gpx.xsd")
    checked = 0
    for path in sorted(out.glob("*/*.json")):
        result = json.loads(path.read_text())
        yield from schema_problems(sarif, path.with_suffix(".sarif"))
        yield from sarif_problems(path.with_suffix(".sarif"), result)
        yield from schema_problems(geojson, path.with_suffix(".geojson"))
        yield from geojson_problems(path.with_suffix(".geojson"), result)
        yield from gpx_problems(path.with_suffix(".gpx"), schemas / "gpx.xsd")
        yield from csv_problems(path.with_suffix(".csv"), result)
        checked += 1
    if checked != 5:
        yield f"{checked} results were checked, not 5"


def main():
    program, schemas = str(Path(sys.argv[1]).resolve()), Path(sys.argv[2])
    if not (schemas / "gpx.xsd").exists():
        print(f"skipped: {schemas} holds no schemas")
        sys.exit(77)
    with tempfile.TemporaryDirectory() as out:
        wrong = list(all_problems(program, schemas, Path(out)))
    print("\n".join(wrong))
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
