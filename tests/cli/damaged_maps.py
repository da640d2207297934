#!/usr/bin/python3
"""Damaged maps: cut short anywhere, bytes flipped, sizes that lie, packed so that they burst. A damaged map is never reported
on as though it were whole: exit code 2, or 3 with the damage told; 0 and 1 only where the result is that of the whole map.

    damaged_maps.py PROGRAM
"""
import bz2
import gzip
import random
import struct
import subprocess
import tempfile
import zlib
from pathlib import Path

from trial import ISLAND, ROUTES, UNUSABLE, check, end, expect, note, run, side_by_side

k_flips = 200
ROUTE = ROUTES / "club-sund-round.gpx"
WHOLE = ISLAND.read_bytes()
folder = Path(tempfile.mkdtemp(prefix="waywarden-damage-"))


def blocks(data):
    """Where the blocks of a PBF file begin (OSM wiki, PBF Format: length, BlobHeader, Blob), and its end."""
    at, starts = 0, []
    while at < len(data):
        starts.append(at)
        size = struct.unpack(">I", data[at:at + 4])[0]
        header, i = data[at + 4:at + 4 + size], 0
        while i < len(header):  # field 3 of the header is the size of the blob
            key, i = header[i], i + 1
            value, shift = 0, 0
            while True:
                byte, i = header[i], i + 1
                value |= (byte & 127) << shift
                shift += 7
                if byte < 128:
                    break
            if key == 0x18:
                blob = value
            elif key & 7 == 2:
                i += value
        at += 4 + size + blob
    return starts + [at]


def result(name, content, suffix=".osm.pbf"):
    path = folder / f"{name}{suffix}"
    path.write_bytes(content)
    # The same name for every map, so that the results need not differ in that: the run is in a folder of its own.
    place = folder / name
    place.mkdir()
    path.rename(place / f"map{suffix}")
    return check(ROUTE, f"map{suffix}", "--format", "json", what=name, cwd=place)


def never_clean(name, content, whole, suffix=".osm.pbf"):
    done = result(name, content, suffix)
    if done.code in (0, 1):
        expect(done.out == whole.out, f"{name}: exit code {done.code} and another result than from the whole map")
    elif done.code == UNUSABLE:
        expect(not done.out, f"{name}: exit code 2 and a report")
        expect(b"map" + suffix.encode() in done.err, f"{name}: the line does not name the file: {done.err!r}")
    return done.code


def tell(what, codes):
    note(f"{what}: {len(codes)} maps, exit codes " + ", ".join(f"{c} {codes.count(c)} times" for c in sorted(set(codes))))


def cuts_and_flips(whole):
    lengths = sorted({len(WHOLE) * percent // 100 for percent in range(100)} | set(blocks(WHOLE)[:-1]) | {1, 3, 4, 5})
    tell("cut short at every per cent and at every block", side_by_side(
        lambda n: never_clean(f"cut at {n}", WHOLE[:n], whole), lengths))
    chance = random.Random(20261125)

    def flipped(i):
        at, bit = places[i]
        return never_clean(f"bit {bit} of byte {at} flipped",
                           WHOLE[:at] + bytes([WHOLE[at] ^ (1 << bit)]) + WHOLE[at + 1:], whole)

    places = [(chance.randrange(len(WHOLE)), chance.randrange(8)) for _ in range(k_flips)]
    tell("one bit flipped", side_by_side(flipped, range(k_flips)))


def other_formats():
    """The same in text: XML as it is and packed, where the end tells that all has come."""
    xml = subprocess.run(["/usr/bin/osmium", "cat", ISLAND, "-f", "xml"], capture_output=True, check=True).stdout
    whole = result("whole xml", xml, ".osm")
    expect(whole.code in (0, 1), f"the whole map as XML: {whole.code}")
    packed = {".osm.gz": gzip.compress(xml, 6, mtime=0), ".osm.bz2": bz2.compress(xml)}
    for suffix, content in ((".osm", xml), *packed.items()):
        again = result(f"whole{suffix}", content, suffix)
        sizes = [len(content) * p // 20 for p in range(20)] + [len(content) - n for n in (1, 4, 8, 9)]
        codes = side_by_side(lambda n: never_clean(f"{suffix} cut at {n}", content[:n], again, suffix), sizes)
        tell(f"{suffix} cut short", codes)
        chance = random.Random(7)
        places = [chance.randrange(len(content)) for _ in range(0 if suffix == ".osm" else 20)]
        tell(f"{suffix} with a byte changed", side_by_side(
            lambda at: never_clean(f"{suffix} byte {at}", content[:at] + bytes([content[at] ^ 85]) + content[at + 1:],
                                   again, suffix), places)) if places else None


def field(number, content):
    def varint(n):
        out = b""
        while n > 127:
            out, n = out + bytes([n & 127 | 128]), n >> 7
        return out + bytes([n])
    if isinstance(content, int):
        return varint(number << 3) + varint(content)
    return varint(number << 3 | 2) + varint(len(content)) + content


def block(kind, packed, raw_size, data_size=None):
    blob = field(2, raw_size) + field(3, packed)
    header = field(1, kind) + field(3, len(blob) if data_size is None else data_size)
    return struct.pack(">I", len(header)) + header + blob


def sizes_that_lie(whole):
    head = WHOLE[:blocks(WHOLE)[1]]
    tell("a second header, and the map twice over", [never_clean("a second header", head + WHOLE, whole),
                                                     never_clean("twice", WHOLE + WHOLE, whole)])
    packed = zlib.compress(bytes(1 << 20))
    lies = {
        "header of 2 GB": struct.pack(">I", 0x7FFFFFFF) + b"x" * 100,
        "header of 4 GB": struct.pack(">I", 0xFFFFFFFF),
        "blob of 1 GB in a file of 1 KB": head + block(b"OSMData", packed, 1 << 20, 1 << 30),
        "blob of 2^60 bytes": head + block(b"OSMData", packed, 1 << 20, 1 << 60),
        "said to unpack to 2 GB": head + block(b"OSMData", packed, 0x7FFFFFFF),
        "said to unpack to 1 byte": head + block(b"OSMData", packed, 1),
        "said to unpack to 2^60": head + block(b"OSMData", packed, 1 << 60),
        "a megabyte of zeros for data": head + block(b"OSMData", packed, 1 << 20),
        "no header": WHOLE[blocks(WHOLE)[1]:],
        "a header alone": head,
        "nothing": b"",
        "zeros": bytes(4096),
        "data of a kind unknown": WHOLE + block(b"OSMThings", packed, 1 << 20),
        "letters after the end": WHOLE + b"and so on\n" * 20,
    }
    def one(item):
        name, content = item
        path = folder / (name.replace(" ", "-") + ".osm.pbf")
        path.write_bytes(content)
        done = check(ROUTE, path, "--format", "json", what=name, seconds=20, mib=400)
        prepared = run(["prepare", path, "-o", folder / f"{path.name}.map"], what=f"{name}, prepared", seconds=20, mib=700)
        for what, got in ((name, done), (f"{name}, prepared", prepared)):
            # A block of an unknown kind is to be passed over, says the format; all else is damage.
            expect(got.code != 0 or name == "data of a kind unknown", f"{what}: exit code 0")
        return done.code
    tell("sizes that lie, blocks that do not belong", side_by_side(one, lies.items()))


def bursting():
    """Packed small, unpacked large: 2 GB of zeros and of one XML comment, and entities that double themselves."""
    zeros, comment = folder / "zeros.osm.gz", folder / "comment.osm.gz"
    for path, first, rest in ((zeros, b"", b"\0"), (comment, b"<?xml version='1.0'?><osm version='0.6'><!--", b"x")):
        with gzip.open(path, "wb", 1) as out:
            out.write(first)
            for _ in range(2048):
                out.write(rest * (1 << 20))
        # A comment is one piece to expat, which gives up at a gigabyte.
        done = check(ROUTE, path, what=f"{path.name} of 2 GB", seconds=60, mib=1200 if path == comment else 100, codes=(2,))
        note(f"{path.name}, {path.stat().st_size >> 10} KB packed, 2 GB unpacked: {done.seconds:.1f} s, {done.mib:.0f} MiB: "
             f"{done.err.decode(errors='replace').strip()[:90]}")
        path.unlink()
    doubled = "".join(f'<!ENTITY e{i} "{f"&e{i - 1};" * 10}">' for i in range(1, 12))
    words = f'<!DOCTYPE osm [<!ENTITY e0 "far">{doubled}]>'
    outside = '<!DOCTYPE osm [<!ENTITY e11 SYSTEM "file:///etc/passwd">]>'
    for kind, declared in (("doubling", words), ("outside", outside)):
        bombs = {
            ".osm": f'<?xml version="1.0"?>{declared}<osm version="0.6"><node id="1" version="1" lat="56" lon="3">'
                    '<tag k="name" v="&e11;"/></node></osm>',
            ".gpx": f'<?xml version="1.0"?>{declared}<gpx version="1.1" creator="x"><trk><name>&e11;</name><trkseg><trkpt '
                    'lat="56" lon="3"/><trkpt lat="56.01" lon="3"/></trkseg></trk></gpx>',
            ".kml": f'<?xml version="1.0"?>{declared}<kml><Placemark><name>&e11;</name><LineString><coordinates>3,56 3.01,56'
                    '</coordinates></LineString></Placemark></kml>'}
        for suffix, text in bombs.items():
            path = folder / f"{kind}{suffix}"
            path.write_text(text)
            route, maps = (ROUTE, path) if suffix == ".osm" else (path, ISLAND)
            done = check(route, maps, what=f"{kind} entities in {suffix}", seconds=20, mib=300, codes=(2, 3))
            expect(b"root:" not in done.out, f"{kind} entities in {suffix}: another file was read")
        note(f"{kind} entities in a map, a GPX and a KML")


def main():
    whole = result("whole", WHOLE)
    expect(whole.code == 0, f"the whole map: {whole.code}, not 0")
    cuts_and_flips(whole)
    other_formats()
    sizes_that_lie(whole)
    bursting()
    subprocess.run(["rm", "-rf", folder], check=True)
    end()


if __name__ == "__main__":
    main()
