#!/usr/bin/python3
"""Routes that are odd, huge or hostile, and names that are: in every script, with control characters, marks that turn the
direction of writing, line breaks, of a megabyte. They end in words and keep the formats of the reports whole.

    odd_routes.py PROGRAM
"""
import csv
import io
import json
import math
import subprocess
import tempfile
import unicodedata
import xml.etree.ElementTree as ElementTree
from html.parser import HTMLParser
from pathlib import Path
from xml.sax.saxutils import escape

from trial import ISLAND, ROUTES, UNUSABLE, check, end, expect, note, run, side_by_side

folder = Path(tempfile.mkdtemp(prefix="waywarden-routes-"))
SCRIPTS = "Sund Зунд Σουνδ سند זונד सुंद 孫徳 순드 ซุนด์ ሱንድ Ꮪꭵ 𐌔𐌖 👣🏴󠁧󠁢󠁥󠁮󠁧󠁿 é"
TURNED = "quay\u202egnp.elif\u202c\u2066x\u2069\u200f\u200b\ufeff end"
BROKEN = "one\ntwo\r\nthree\tfour\u2028five\u0085six\x7f\x9b31m"
CODE = "</script><script>alert(1)</script><img src=x onerror=alert(2)>&amp;\"'`${7*7}{{7*7}}]]>--><!--"
FORMULA = "=1+1|cmd,\"x\";@SUM(A1)"


def gpx(points, name="walk"):
    marks = "\n".join(f'<trkpt lat="{lat:.7f}" lon="{lon:.7f}"/>' for lat, lon in points)
    return f'<gpx version="1.1" creator="x"><trk><name>{escape(name)}</name><trkseg>{marks}</trkseg></trk></gpx>'


def put(name, content):
    path = folder / name
    path.write_bytes(content.encode("utf-8", "surrogatepass") if isinstance(content, str) else content)
    return path


def written(points):
    """A GPX written piece by piece: this script stays small, for the peak that the kernel tells of a program is at least that of
    whoever started it."""
    path = folder / "large.gpx"
    head, tail = gpx([]).split("</trkseg>")
    with open(path, "w") as out:
        out.write(head)
        for lat, lon in points:
            out.write(f'<trkpt lat="{lat:.7f}" lon="{lon:.7f}"/>\n')
        out.write("</trkseg>" + tail)
    return path


def to_and_fro():
    """A million points on 700 km of the island, in traverses of 2.2 km, 31 m apart, over its middle and over again."""
    for i in range(1_000_000):
        traverse, share = divmod(i * 315 / 1_000_000, 1)
        yield 56.20 + 0.02 * (1 - share if traverse % 2 else share), 2.2 + (traverse % 89 + share) * 0.0005


def all_over():
    """A million points on 390 km in loops over the whole island."""
    for i in range(1_000_000):
        turn = i / 1_000_000 * 100
        yield 56.20 + 0.045 * math.sin(turn), 2.30 + 0.12 * math.sin(0.3819 * turn)


def large():
    """Sizes. The bounds on time are for a machine that has other things to do; of a million points the processor's time is
    bounded too, which does not depend on them."""
    cases = [("a million points", ((56.1 + 0.05 * math.sin(i / 1000), 3.0 + i * 1e-7) for i in range(1_000_000)), 100, 500),
             ("a million points to and fro on the island", to_and_fro(), 100, 500),
             ("a million points all over the island", all_over(), 100, 500),
             ("a million points at one place", ((56.1, 2.3) for _ in range(1_000_000)), 30, 500),
             ("5,000 km", ((-20 + k * 0.45, 10 + k * 0.01) for k in range(100)), 20, 500),
             ("5,000 km to and fro on the island", ((56.20 + 0.02 * (k % 2), 2.2 + (k % 89) * 0.0005) for k in range(2248)), 40, 700),
             ("50,000 km", ((56.1 + 0.2 * math.sin(i / 40), 3.0 + 0.8 * math.sin(i / 9)) for i in range(1400)), 40, 500),
             ("one point", [(56.1, 2.3)], 5, 100),
             ("no point", [], 5, 100)]
    for name, points, seconds, mib in cases:
        done = check(written(points), ISLAND, what=f"a route of {name}", seconds=seconds, mib=mib,
                     codes=(1, 3) if "island" in name else (2, 3))
        if "million" in name:
            expect(done.cpu_s < 10, f"a route of {name}: {done.cpu_s:.1f} s of the processor")
        note(f"a route of {name}: exit code {done.code} after {done.seconds:.1f} s ({done.cpu_s:.1f} s of the processor), "
             f"{done.mib:.0f} MiB")


def deep_and_wrong():
    """None of these is a route: refused in one line that names the file."""
    line = '{"type":"LineString","coordinates":[[3,56],[3.01,56]]}'
    wrong = {
        "deep.geojson": "[" * 10_000 + "]" * 10_000,
        "deep-in-features.geojson": '{"type":"FeatureCollection","features":' + '[{"type":"FeatureCollection","features":' * 10_000,
        "deep-geometry.geojson": '{"type":"GeometryCollection","geometries":[' * 10_000 + line + "]}" * 10_000,
        "very-deep.geojson": '{"a":' * 1_000_000,
        "deep.gpx": "<gpx>" + "<trk>" * 100_000,
        "deep.kml": "<kml>" + "<Folder>" * 100_000 + "</Folder>" * 100_000 + "</kml>",
        "half.gpx": (ROUTES / "club-sund-round.gpx").read_bytes()[:2000],
        "empty.gpx": "", "blank.gpx": " \n" * 1000, "zeros.gpx": bytes(100_000),
        "no-numbers.gpx": gpx([(56, 3), (56.01, 3)]).replace("56.0100000", "north"),
        "nan.gpx": gpx([(56, 3), (56.01, 3)]).replace("56.0100000", "nan"),
        "endless.gpx": gpx([(56, 3), (56.01, 3)]).replace("56.0100000", "1e400"),
        "off-the-earth.gpx": gpx([(56, 3), (95, 3)]),
        "off-the-earth.geojson": line.replace("[3.01,56]", "[3000,56]"),
        "numbers.geojson": "12", "null.geojson": "null",
        "utf-16.gpx": gpx([(56, 3)] * 2).encode("utf-16")[:201],
        "wide.csv": "leg," * 100_000 + "\n" + "1," * 100_000,
        "letters.csv": "leg,from,to\n" + "\"" * 100_001,
        "map.gpx": ISLAND.read_bytes(),
    }

    def one(item):
        name, content = item
        done = check(put(name, content), ISLAND, what=name, seconds=10, mib=400, codes=(2, 3))
        expect(name.encode() in done.err + done.out, f"{name}: not named in {done.err[:200]!r}")
        return done.code
    codes = side_by_side(one, wrong.items())
    note(f"{len(wrong)} files that are no route: exit codes " + ", ".join(f"{c} {codes.count(c)} times" for c in set(codes)))
    for name in ("pole", "180 degrees"):
        points = [(89.99, 0), (89.999, 90), (89.99, 180)] if name == "pole" else [(56, 179.99), (56, -179.99)]
        done = check(put("edge.gpx", gpx(points)), ISLAND, what=f"a route at {name}", codes=(2, 3))
        note(f"a route at the {name}: exit code {done.code}")


class Page(HTMLParser):
    def __init__(self):
        super().__init__()
        self.found = []

    def handle_starttag(self, tag, attributes):
        if tag == "img" or any(key.startswith("on") for key, _ in attributes):
            self.found.append((tag, attributes))


def inspect_report(name, path):
    data = path.read_bytes()
    text = data.decode()  # every report is UTF-8
    if path.suffix == ".txt":
        bad = {f"U+{ord(c):04X}" for c in text if c != "\n" and unicodedata.category(c) in ("Cc", "Zl", "Zp")}
        turned = {f"U+{ord(c):04X}" for c in text if c in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"}
        expect(not bad and not turned, f"{name}: {path.name} holds {bad | turned}")
    elif path.suffix in (".json", ".geojson", ".sarif"):
        json.loads(text, parse_constant=lambda c: expect(False, f"{name}: {path.name} holds {c}"))
    elif path.suffix == ".gpx":
        ElementTree.fromstring(data)
    elif path.suffix == ".csv":
        rows = list(csv.reader(io.StringIO(text, newline="")))
        expect(len({len(row) for row in rows}) == 1, f"{name}: {path.name} has rows of different length")
        expect(not any(cell[:1] in ("=", "+", "@", "\t", "\r") for row in rows for cell in row), f"{name}: {path.name}: a formula")
    elif path.suffix == ".html":
        page = Page()
        page.feed(text)
        expect(not page.found and "<script>alert" not in text, f"{name}: {path.name}: {page.found[:3]}")


def hostile_names():
    """The same names for the route, its file, a road on the map and a military area."""
    names = {"scripts": SCRIPTS, "turned": TURNED, "broken": BROKEN, "code": CODE, "formula": FORMULA, "a megabyte": "Lång " * 200_000}
    formats = [word for f in ("text", "json", "sarif", "geojson", "gpx", "html", "csv", "legs") for word in ("--format", f)]
    for name, text in names.items():
        in_xml = escape(text, {'"': "&quot;", "\n": "&#10;", "\r": "&#13;", "\t": "&#9;"})
        nodes = "".join(f'<node id="{i}" version="1" timestamp="2026-01-01T00:00:00Z" lat="{lat}" lon="{lon}"/>' for i, lat, lon in (
            (1, 56, 3), (2, 56, 3.01), (3, 56, 3.02), (4, 55.999, 3.012), (5, 56.001, 3.012), (6, 56.001, 3.018), (7, 55.999, 3.018)))
        ways = "".join(f'<way id="{i}" version="1" timestamp="2026-01-01T00:00:00Z">' + "".join(f'<nd ref="{n}"/>' for n in refs) +
                       f'<tag k="{k}" v="{v}"/><tag k="name" v="{in_xml}"/></way>' for i, refs, k, v in (
                           (10, (1, 2, 3), "highway", "trunk"), (11, (4, 5, 6, 7, 4), "landuse", "military")))
        if len(text) > 10_000:  # libosmium refuses a map with a text of more than 1,024 bytes or so
            expect(check(ROUTES / "club-sund-round.gpx", put("long.osm", f'<osm version="0.6">{nodes}{ways}</osm>'),
                         what="a name of a megabyte on the map").code == UNUSABLE, "a name of a megabyte on the map is read")
            ways = ways.replace(in_xml, "Long")
        the_map = put("names.osm", f'<?xml version="1.0" encoding="UTF-8"?><osm version="0.6">{nodes}{ways}</osm>')
        stem = "".join(c for c in text if c != "/")[:40].encode()[:120].decode(errors="ignore")
        route = put(stem + ".gpx", gpx([(56, 3.0005), (56, 3.0195)], text.replace("\x9b", "")))
        out = folder / f"out-{name}"
        done = check(route, the_map, *formats, "--out", out, what=f"names: {name}", seconds=20, mib=600, codes=(1, 2, 3))
        for path in sorted(out.iterdir()) if out.exists() else []:
            inspect_report(name, path)
        made = len(list(out.iterdir())) if out.exists() else 0
        size = sum(p.stat().st_size for p in out.iterdir()) if made else 0
        note(f"names: {name}: exit code {done.code} {done.err.decode()[:80].strip()}, {made} reports of {size >> 10} KB")
        # Put on the terminal, which obeys what it is sent.
        shown = check(route, the_map, what=f"names: {name}, shown", mib=600)
        expect(not any(c < 32 and c != 10 or c == 127 for c in shown.out), f"names: {name}: control characters are shown")


def main():
    large()  # first, while this script is small
    deep_and_wrong()
    hostile_names()
    subprocess.run(["rm", "-rf", folder], check=True)
    end()


if __name__ == "__main__":
    main()
