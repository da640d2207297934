#!/usr/bin/python3
"""Preparing a map beside a general tool that rewrites it, and walks on the prepared map; ratios in one run, medians.

    prepared_runs.py WAYWARDEN MAKE_COUNTRY [--rounds 5] [--work /tmp/waywarden-bench]
"""
import argparse
import math
import pathlib
import random
import statistics
import subprocess

from whole_runs import run


def walk(path, km, lon=2.1, lat=56.6):
    n = int(km * 10)
    points = [(lon + 0.02 * math.sin(i / 15), lat + 0.0009 * (i - n / 2)) for i in range(n + 1)]
    rows = "".join(f'<trkpt lat="{y:.6f}" lon="{x:.6f}"/>' for x, y in points)
    path.write_text(f'<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>{rows}</trkseg></trk></gpx>')


def main():
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("tool")
    ask.add_argument("maker")
    ask.add_argument("--rounds", type=int, default=5)
    ask.add_argument("--work", type=pathlib.Path, default=pathlib.Path("/tmp/waywarden-bench"))
    a = ask.parse_args()
    a.work.mkdir(parents=True, exist_ok=True)
    country, prepared = a.work / "country-1.osm.pbf", a.work / "country.prepared"
    if not country.exists():
        subprocess.run([a.maker, country, "1900000"], check=True, stdout=subprocess.DEVNULL)
    commands = {
        "prepare": [a.tool, "prepare", country, "-o", prepared],
        "prepare, 256M": [a.tool, "prepare", country, "-o", a.work / "small.prepared", "--memory", "256M"],
        "osmium cat": ["osmium", "cat", country, "-o", a.work / "cat.osm.pbf", "-O"],
    }
    rounds = [{name: run(list(map(str, c)), OSMIUM_POOL_THREADS="2") for name, c in commands.items()} for _ in range(a.rounds)]
    for name in commands:
        wall, cpu, peak = (statistics.median(r[name][k] for r in rounds) for k in range(3))
        ratio = statistics.median(r[name][0] / r["osmium cat"][0] for r in rounds)
        print(f"{name:15s} wall {wall:.2f} s  CPU {cpu:.2f} s  peak {peak:.0f} MiB  {ratio:.2f} of osmium cat")
    print(f"size {prepared.stat().st_size / country.stat().st_size:.3f} of the extract")
    walk(a.work / "20.gpx", 20)
    single = [run([a.tool, "check", str(a.work / "20.gpx"), "--map", str(prepared), "--format", "json"]) for _ in range(4 * a.rounds)]
    print("20 km: wall {:.0f} ms  CPU {:.0f} ms  peak {:.0f} MiB".format(
        *(statistics.median(s[k] for s in single) * f for k, f in ((0, 1000), (1, 1000), (2, 1)))))
    many, rng = a.work / "many", random.Random(5)
    many.mkdir(exist_ok=True)
    for i in range(1000):
        walk(many / f"{i:04d}.gpx", 10, rng.uniform(1.3, 3.0), rng.uniform(56.1, 57.2))
    for form in ("json", "csv"):
        wall, cpu, peak = run([a.tool, "check", str(many), "--map", str(prepared), "--format", form])
        print(f"1,000 of 10 km as {form}: {1000 / wall:.0f} routes/s  CPU {cpu:.1f} s  peak {peak:.0f} MiB")


if __name__ == "__main__":
    main()
