#!/usr/bin/python3
"""Whole runs beside a general tool in the same minute, as ratios: these machines are noisy, ratios less so.

    whole_runs.py WAYWARDEN MAKE_COUNTRY [--rounds 5] [--work /tmp/waywarden-bench]

Makes a country of 15 M nodes and 1.9 M ways (about 53 MB) and a route of 20 km in it, then runs in turn
`osmium extract -s smart` of the route's box (two threads) and `waywarden check`, and prints each one's median of wall and
CPU seconds, peak memory, and the ratio of each round. Then the same check on countries of a quarter and a half the size, and with
routes of a quarter, half and twice the length, to show how cost grows.
"""
import argparse
import math
import os
import pathlib
import statistics
import subprocess


def run(command, **environment):
    """(wall s, CPU s, peak MiB) of a finished process."""
    start = os.times().elapsed
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env={**os.environ, **environment})
    _, status, usage = os.wait4(process.pid, 0)
    if os.waitstatus_to_exitcode(status) not in (0, 1, 3):
        raise SystemExit(f"{command} ended with {status}")
    return os.times().elapsed - start, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def route(path, km, lon=2.1, lat=56.6):
    """A winding line northward through a place, at first the middle of the country, a point every 100 m; returns its box."""
    n = int(km * 10)
    points = [(lon + 0.02 * math.sin(i / 15), lat + 0.0009 * (i - n / 2)) for i in range(n + 1)]
    rows = "".join(f'<trkpt lat="{y:.6f}" lon="{x:.6f}"/>' for x, y in points)
    path.write_text(f'<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>{rows}</trkseg></trk></gpx>')
    lons, lats = [p[0] for p in points], [p[1] for p in points]
    return f"{min(lons):.4f},{min(lats):.4f},{max(lons):.4f},{max(lats):.4f}"


def main():
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("tool")
    ask.add_argument("maker")
    ask.add_argument("--rounds", type=int, default=5)
    ask.add_argument("--work", type=pathlib.Path, default=pathlib.Path("/tmp/waywarden-bench"))
    a = ask.parse_args()
    a.work.mkdir(parents=True, exist_ok=True)
    countries = {}
    for share in (1, 2, 4):
        countries[share] = a.work / f"country-{share}.osm.pbf"
        if not countries[share].exists():
            subprocess.run([a.maker, countries[share], str(1_900_000 // share)], check=True, stdout=subprocess.DEVNULL)
    routes = {km: (a.work / f"route-{km}.gpx", route(a.work / f"route-{km}.gpx", km)) for km in (5, 10, 20, 40)}
    check = lambda country, km: [a.tool, "check", str(routes[km][0]), "--map", str(countries[country]), "--format", "json"]
    extract = ["osmium", "extract", "-s", "smart", "-b", routes[20][1], str(countries[1]), "-o", str(a.work / "cut.osm.pbf"), "-O"]
    rounds = [(run(check(1, 20)), run(extract, OSMIUM_POOL_THREADS="2")) for _ in range(a.rounds)]
    for name, i in (("waywarden", 0), ("osmium extract", 1)):
        wall, cpu, peak = (statistics.median(r[i][k] for r in rounds) for k in range(3))
        print(f"{name:15s} wall {wall:.2f} s  CPU {cpu:.2f} s  peak {peak:.0f} MiB")
    print("ratio a round, wall:", *(f"{r[0][0] / r[1][0]:.2f}" for r in rounds), " CPU:", *(f"{r[0][1] / r[1][1]:.2f}" for r in rounds))
    for share in (4, 2, 1):
        wall, cpu, peak = (statistics.median(x) for x in zip(*(run(check(share, 20)) for _ in range(3))))
        print(f"country of {countries[share].stat().st_size / 1e6:.0f} MB, 20 km: wall {wall:.2f} s  CPU {cpu:.2f} s  peak {peak:.0f} MiB")
    for km in (5, 10, 20, 40):
        wall, cpu, peak = (statistics.median(x) for x in zip(*(run(check(1, km)) for _ in range(3))))
        print(f"route of {km} km, whole country: wall {wall:.2f} s  CPU {cpu:.2f} s  peak {peak:.0f} MiB")


if __name__ == "__main__":
    main()
