#!/usr/bin/python3
"""What the present program costs beside an earlier one: the same check by each in turn, medians of the ratios of the rounds.

    beside_earlier.py WAYWARDEN EARLIER MAP ROUTE [--rounds 15]

EARLIER stands in a build folder of its own checkout, so that each reads its own rules (git worktree add FOLDER COMMIT).
"""
import argparse
import statistics

from whole_runs import run


def main():
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name in ("tool", "earlier", "map", "route"):
        ask.add_argument(name)
    ask.add_argument("--rounds", type=int, default=15)
    a = ask.parse_args()
    check = lambda tool: [tool, "check", a.route, "--map", a.map, "--region", "england", "--start", "2026-12-05"]
    rounds = [(run(check(a.tool)), run(check(a.earlier))) for _ in range(a.rounds)]
    for name, i in (("now", 0), ("earlier", 1)):
        wall, cpu, peak = (statistics.median(r[i][k] for r in rounds) for k in range(3))
        print(f"{name:8s} wall {1000 * wall:.0f} ms  CPU {1000 * cpu:.0f} ms  peak {peak:.0f} MiB")
    wall, cpu = (statistics.median(now[k] / earlier[k] for now, earlier in rounds) for k in (0, 1))
    print(f"ratio, median of {a.rounds} rounds: wall {wall:.2f}, CPU {cpu:.2f}")


if __name__ == "__main__":
    main()
