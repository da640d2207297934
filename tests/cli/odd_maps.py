#!/usr/bin/python3
"""Maps that are odd but allowed, and maps that contradict themselves: out of order, twice over, with negative ids, with nodes
that are missing, relations in circles, ways of one node and of 2,000, relations of 40,000 members, the poles and 180 degrees,
histories and changes, names in every script.

    odd_maps.py PROGRAM

Made with osmium (the tool of libosmium), which writes the objects in the order in which it is given them.
"""
import json
import random
import subprocess
import tempfile
from pathlib import Path

from trial import ISLAND, ROUTES, UNUSABLE, check, end, expect, note, run, side_by_side

folder = Path(tempfile.mkdtemp(prefix="waywarden-odd-"))
ROUTE = ROUTES / "club-sund-round.gpx"
WALK = folder / "walk.gpx"


def gpx(points, name="walk"):
    marks = "".join(f'<trkpt lat="{lat}" lon="{lon}"/>' for lat, lon in points)
    return f'<gpx version="1.1" creator="x"><trk><name>{name}</name><trkseg>{marks}</trkseg></trk></gpx>'


def osmium(*args):
    done = subprocess.run(["/usr/bin/osmium", *map(str, args)], capture_output=True)
    assert done.returncode == 0, done.stderr.decode()
    return done.stdout


def made(name, opl, suffix):
    """A map in a folder of its own, always under one name, so that results need not differ in that."""
    place = folder / name.replace(" ", "-")
    place.mkdir(exist_ok=True)
    if suffix == ".opl":
        (place / "map.opl").write_text(opl)
    else:
        (place / "from.opl").write_text(opl)
        osmium("cat", place / "from.opl", "-o", place / f"map{suffix}", "--overwrite", "-f", suffix[1:])
        (place / "from.opl").unlink()
    return place


def result(name, opl, suffix, route=ROUTE, **how):
    return check(route, f"map{suffix}", "--format", "json", what=f"{name}, {suffix}", cwd=made(name, opl, suffix), **how)


def same(name, opl, suffix, whole, how=""):
    """The same result, or a refusal."""
    place = made(name, opl, suffix)
    done = check(ROUTE, f"map{suffix}", "--format", "json", what=f"{name}, {suffix}", cwd=place)
    expect(done.code in (2, 3) or done.out.replace(f"map{suffix}".encode(), b"map.osm.pbf") == whole.out,
           f"{name}, {suffix}: exit code {done.code}, another result")
    prepared = run(["prepare", f"map{suffix}", "-o", "prepared"], what=f"prepare {name}, {suffix}", cwd=place, codes=(0, 2))
    if prepared.code == 0:
        (place / f"map{suffix}").unlink()
        (place / "prepared").rename(place / f"map{suffix}")
        again = check(ROUTE, f"map{suffix}", "--format", "json", what=f"{name}, {suffix}, prepared", cwd=place)
        expect(again.code == done.code and again.out == done.out, f"{name}, {suffix}: prepared, another result "
               f"({again.code}, not {done.code}) {again.err.decode()}")
    else:
        expect(done.code == UNUSABLE, f"{name}, {suffix}: cannot be prepared but is read: {prepared.err.decode()}")
    return done.code


def orders(lines):
    by_type = {t: [one for one in lines if one[0] == t] for t in "nwr"}
    chance = random.Random(3)
    shuffled = lines[:]
    chance.shuffle(shuffled)
    late = by_type["n"][-500:]
    yield "as it is", lines
    yield "backwards", lines[::-1]
    for order in ("rnw", "rwn", "wnr", "wrn", "nrw"):
        yield f"order {order}", [one for t in order for one in by_type[t]]
    yield "500 nodes at the end", by_type["n"][:-500] + by_type["w"] + by_type["r"] + late
    yield "500 nodes after the ways", by_type["n"][:-500] + by_type["w"] + late + by_type["r"]
    yield "a relation first", by_type["r"][:1] + by_type["n"] + by_type["w"] + by_type["r"][1:]
    yield "a way first", by_type["w"][:1] + by_type["n"] + by_type["w"][1:] + by_type["r"]
    yield "the tagged nodes last", [n for n in lines if " T " in n or n[0] != "n"] + [n for n in by_type["n"] if " T " not in n]
    yield "tagged last of all", [one for one in lines if one[0] != "n" or one.rsplit(" T", 1)[1].startswith(" ")] + \
        [n for n in by_type["n"] if not n.rsplit(" T", 1)[1].startswith(" ")]
    yield "shuffled", shuffled
    yield "twice over", lines + lines
    yield "each twice", [one for one in lines for _ in range(2)]


def out_of_order(lines, whole):
    cases = [(name, "\n".join(some) + "\n", suffix) for name, some in orders(lines)
             for suffix in ((".osm.pbf", ".opl") if name in ("shuffled", "backwards", "twice over") else (".osm.pbf",))]
    codes = side_by_side(lambda case: same(*case, whole), cases)
    for case, code in zip(cases, codes):
        note(f"{case[0]}, {case[2]}: exit code {code}")


# A walk east along a lane at 56.0 N in the invented island's sea; ids and places of its own.
def lane(extra="", tags="highway=residential,name=Lane", ids=(1, 2, 3), way=10):
    nodes = "".join(f"n{i} v1 dV t2026-01-01T00:00:00Z T x{3 + k * 0.01:.4f} y56.0\n" for k, i in enumerate(ids))
    return nodes, f"w{way} v1 dV t2026-01-01T00:00:00Z T{tags} N" + ",".join(f"n{i}" for i in ids) + "\n"


def contradictions():
    """Made maps that say odd things; each must end in words, fast and small."""
    nodes, way = lane()
    t = "v1 dV t2026-01-01T00:00:00Z"
    ring = ",".join(f"n{i}" for i in (1, 2, 3, 1))
    cases = {
        "a way whose nodes are all missing": nodes + way + f"w11 {t} Thighway=trunk Nn901,n902\n",
        "a way with a node missing": nodes + f"w10 {t} Thighway=trunk Nn1,n2,n777,n3\n",
        "a way of one node": nodes + way + f"w11 {t} Thighway=trunk Nn2\n",
        "a way of none": nodes + way + f"w11 {t} Thighway=trunk N\n",
        "a way of one node twice": nodes + way + f"w11 {t} Thighway=trunk Nn2,n2\n",
        "relations in circles": nodes + way + f"r1 {t} Ttype=multipolygon,landuse=military Mr2@outer,w10@outer\n"
                                f"r2 {t} Ttype=multipolygon,landuse=military Mr1@outer\nr3 {t} Ttype=route Mr3@\n",
        "a relation without members": nodes + way + f"r1 {t} Ttype=multipolygon,landuse=military M\n",
        "an area whose ways are missing": nodes + way + f"r1 {t} Ttype=multipolygon,landuse=military Mw900@outer\n",
        "an area that is open": nodes + way + f"r1 {t} Ttype=multipolygon,landuse=military Mw10@outer\n",
        "an area without extent": nodes + way + f"w11 {t} Tlanduse=military N{ring}\n",
        "an area made of one way twice": nodes + way + f"w11 {t} T N{ring}\nr1 {t} Ttype=multipolygon,natural=water "
                                         "Mw11@outer,w11@outer,w11@inner\n",
        "a way through the pole": nodes + f"n8 {t} T x0 y90\nn9 {t} T x180 y-90\n" + way + f"w11 {t} Thighway=path Nn8,n9\n",
        "a way across 180 degrees": nodes + f"n8 {t} T x179.999 y56\nn9 {t} T x-179.999 y56\n" + way +
                                    f"w11 {t} Thighway=path Nn8,n9\n",
        "places off the earth": nodes + f"n8 {t} T x200 y95\n" + way + f"w11 {t} Thighway=path Nn2,n8\n",
        "tags without end": nodes + f"w10 {t} T" + ",".join(f"k{i}=v{i}" for i in range(5000)) + ",highway=residential Nn1,n2,n3\n",
        "names that agree with nothing": nodes + f"w10 {t} Thighway=%20%,maxspeed=-5,width=1e999,lanes=NaN,layer=99999 Nn1,n2,n3\n",
        "ids at the ends of the range": f"n9223372036854775806 {t} T x3 y56\nn-9223372036854775807 {t} T x3.01 y56\n"
            f"w9223372036854775806 {t} Thighway=residential Nn9223372036854775806,n-9223372036854775807\n",
    }
    many = "".join(f"n{100 + i} {t} T x{3 + i * 0.00001:.6f} y56.00{i % 2}\n" for i in range(40001))
    cases["a way of 2,000 nodes"] = nodes + many + way + f"w11 {t} Thighway=path N" + \
        ",".join(f"n{100 + i}" for i in range(2000)) + "\n"
    ways = "".join(f"w{100 + i} {t} T Nn{100 + i},n{101 + i}\n" for i in range(40000))
    cases["a relation of 40,000 members"] = nodes + many + way + ways + \
        f"r1 {t} Ttype=multipolygon,natural=wetland M" + ",".join(f"w{100 + i}@outer" for i in range(40000)) + "\n"

    def one(item):
        name, opl = item
        done = result(name, opl, ".opl", WALK, seconds=15, mib=400)
        place = folder / name.replace(" ", "-")
        prepared = run(["prepare", "map.opl", "-o", "p"], what=f"prepare: {name}", cwd=place, seconds=15, mib=700, codes=(0, 2))
        if prepared.code == 0:
            (place / "p").replace(place / "map.opl")
            again = check(WALK, "map.opl", "--format", "json", what=f"{name}, prepared", cwd=place)
            expect((again.code, again.out) == (done.code, done.out), f"{name}: prepared, another result ({again.code}, "
                   f"not {done.code}) {again.err.decode()}")
        else:
            expect(done.code == UNUSABLE, f"{name}: read, but not prepared: {prepared.err.decode()}")
        return done
    outcomes = dict(zip(cases, side_by_side(one, cases.items())))
    for name, done in outcomes.items():
        note(f"{name}: exit code {done.code} after {done.seconds:.1f} s {done.err.decode(errors='replace').strip()[:100]}")
    for name in ("a way with a node missing", "relations in circles", "an area whose ways are missing", "an area that is open",
                 "a relation without members"):
        expect(outcomes[name].code in (UNUSABLE, 3), f"{name}: exit code {outcomes[name].code}: what lacks is not told of")


def negative_ids(lines, whole):
    """Editors give new objects negative ids: the same map with every id negated is the same map, but for those ids."""
    def negated(line):
        words = line.split(" ")
        words[0] = words[0][0] + "-" + words[0][1:]
        for i, word in enumerate(words):
            if i and word[:1] in "NM" and len(word) > 1:
                words[i] = word[0] + ",".join(m[0] + "-" + m[1:] for m in word[1:].split(","))
        return " ".join(words)
    done = result("negative ids", "\n".join(map(negated, lines)) + "\n", ".opl")
    if done.code != UNUSABLE:
        count = [len(r["findings"]) for r in json.loads(done.out)["routes"]]
        expect(count == [len(r["findings"]) for r in json.loads(whole.out)["routes"]], f"negative ids: {count} findings")
    note(f"every id negative: exit code {done.code}")


def histories_and_changes():
    nodes, way = lane()
    later = "t2026-06-01T00:00:00Z"
    cases = {
        "a history with the road gone": nodes + way + f"w10 v2 dD {later} T N\n",
        "a history with a node moved": "n1 v1 dV t2026-01-01T00:00:00Z T x9 y9\n" + nodes.replace("n1 v1", "n1 v2") + way,
        "a history with the road raised": nodes + way + way.replace("v1", "v2").replace("residential", "trunk"),
        "the newer first": nodes + way.replace("v1", "v2").replace("residential", "trunk") + way,
    }
    for name, opl in cases.items():
        codes = []
        for suffix in (".opl", ".osh.pbf", ".osh", ".osc"):
            done = result(name, opl, suffix, WALK)
            codes.append(done.code)
            if done.code in (0, 1) and "road" in name and "gone" not in name or name == "the newer first" and done.code in (0, 1):
                expect(b"trunk" in done.out, f"{name}, {suffix}: exit code {done.code}, without the newest version")
        note(f"{name}: exit codes {codes} as .opl, .osh.pbf, .osh, .osc")


def main():
    WALK.write_text(gpx([(56, 3.0005), (56, 3.0195)]))
    lines = osmium("cat", ISLAND, "-f", "opl").decode().splitlines()
    whole = result("whole", "\n".join(lines) + "\n", ".osm.pbf")
    expect(whole.code == 0, f"the whole map: {whole.code}")
    out_of_order(lines, whole)
    negative_ids(lines, whole)
    contradictions()
    histories_and_changes()
    subprocess.run(["rm", "-rf", folder], check=True)
    end()


if __name__ == "__main__":
    main()
