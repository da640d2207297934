#!/usr/bin/python3
"""Preparing a map beside a general tool that rewrites it, and walks on the prepared map; ratios in one run, medians.

    prepared_runs.py WAYWARDEN MAKE_COUNTRY [--rounds 5] [--work /tmp/waywarden-bench]
    prepared_runs.py WAYWARDEN MAKE_COUNTRY --ten-times [--rounds 3] [--work /tmp/waywarden-bench]

The second compares a country with one as dense and ten times as large (150 M nodes, 530 MB, made for the run and removed): how
preparing grows, whether memory stays within what was asked for, whether a walk costs the same. Some 10 minutes on idle cores.
"""
import argparse
import pathlib
import random
import statistics
import subprocess

from whole_runs import route, run

WAYS = "1900000"


def medians(runs):
    return tuple(statistics.median(r[k] for r in runs) for k in range(3))


def show(name, runs, more=""):
    wall, cpu, peak = medians(runs)
    print(f"{name:24s} wall {wall:.2f} s  CPU {cpu:.2f} s  peak {peak:.0f} MiB  {more}".rstrip(), flush=True)


def make(a, path, times):
    if not path.exists():
        subprocess.run([a.maker, path, WAYS, str(times)], check=True, stdout=subprocess.DEVNULL)


def prepare(a, country, out, *more):
    return run([a.tool, "prepare", str(country), "-o", str(out), *more])


def scattered(folder, count, seed=5):
    """So many walks of 10 km all over the country."""
    folder.mkdir(exist_ok=True)
    rng = random.Random(seed)
    for i in range(count):
        route(folder / f"{i:04d}.gpx", 10, rng.uniform(1.3, 3.0), rng.uniform(56.1, 57.2))
    return folder


def beside_other_tools(a, rounds):
    country, prepared = a.work / "country-1.osm.pbf", a.work / "country.prepared"
    make(a, country, 1)
    rewrite = ["osmium", "cat", str(country), "-o", str(a.work / "cat.osm.pbf"), "-O"]
    done = [{"prepare": prepare(a, country, prepared),
             "prepare, 256M": prepare(a, country, a.work / "small.prepared", "--memory", "256M"),
             "osmium cat": run(rewrite, OSMIUM_POOL_THREADS="2")} for _ in range(rounds)]
    for name in done[0]:
        ratio = statistics.median(r[name][0] / r["osmium cat"][0] for r in done)
        show(name, [r[name] for r in done], f"{ratio:.2f} of osmium cat")
    print(f"size {prepared.stat().st_size / country.stat().st_size:.3f} of the extract")
    check = lambda where, form: run([a.tool, "check", str(where), "--map", str(prepared), "--format", form])
    route(a.work / "20.gpx", 20)
    show("20 km", [check(a.work / "20.gpx", "json") for _ in range(4 * rounds)])
    many = scattered(a.work / "many", 1000)
    for form in ("json", "csv"):
        wall, cpu, peak = check(many, form)
        print(f"1,000 of 10 km as {form}: {1000 / wall:.0f} routes/s  CPU {cpu:.1f} s  peak {peak:.0f} MiB")


def ten_times(a, rounds):
    small, large = a.work / "country-1.osm.pbf", a.work / "country-times-10.osm.pbf"
    maps = {small: a.work / "country.prepared", large: a.work / "country-times-10.prepared"}
    try:
        make(a, small, 1)
        make(a, large, 10)
        for memory in ((), ("--memory", "256M")):
            done = [{country: prepare(a, country, out, *memory) for country, out in maps.items()} for _ in range(rounds)]
            for country in maps:
                show(f"prepare {country.stat().st_size / 1e6:.0f} MB {' '.join(memory)}", [r[country] for r in done])
            print("  grows by, each round, wall:", *(f"{r[large][0] / r[small][0]:.1f}" for r in done),
                  " CPU:", *(f"{r[large][1] / r[small][1]:.1f}" for r in done))
        print(f"size {maps[large].stat().st_size / large.stat().st_size:.3f} of the extract")
        route(a.work / "20.gpx", 20)
        many = scattered(a.work / "many-100", 100)
        for name, where, times in (("20 km", a.work / "20.gpx", 10 * rounds), ("100 of 10 km", many, rounds)):
            done = [{country: run([a.tool, "check", str(where), "--map", str(out), "--format", "json"])
                     for country, out in maps.items()} for _ in range(times)]
            for country in maps:
                show(f"{name} on {maps[country].stat().st_size / 1e6:.0f} MB", [r[country] for r in done])
            print("  ratio, median, wall: {:.2f}  CPU: {:.2f}".format(
                *(statistics.median(r[large][k] / r[small][k] for r in done) for k in (0, 1))))
    finally:
        large.unlink(missing_ok=True)
        maps[large].unlink(missing_ok=True)


def main():
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("tool")
    ask.add_argument("maker")
    ask.add_argument("--ten-times", action="store_true")
    ask.add_argument("--rounds", type=int)
    ask.add_argument("--work", type=pathlib.Path, default=pathlib.Path("/tmp/waywarden-bench"))
    a = ask.parse_args()
    a.work.mkdir(parents=True, exist_ok=True)
    if a.ten_times:
        ten_times(a, a.rounds or 3)
    else:
        beside_other_tools(a, a.rounds or 5)


if __name__ == "__main__":
    main()
