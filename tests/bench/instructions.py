#!/usr/bin/python3
"""Counts the machine instructions of a small fixed run and compares them with those recorded in instructions.txt.

    instructions.py WAYWARDEN [--build-type Release] [--sanitize ""] [--record] [--runs 1]

Seconds on a shared machine tell nothing of a change of a tenth; instructions do. Counted apart: those in the program itself (with
the libraries that are headers), and those in shared libraries; the dynamic loader's are told and not compared. Fails where one has
grown by more than a tenth. If that is what a change is worth, record the new figures and commit them with it:

    tests/bench/instructions.py build/waywarden --record

Ends in 77 without valgrind or in a build whose instructions say nothing (debug, sanitizers): not run, which is no success.
"""
import argparse
import collections
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

PROJECT = pathlib.Path(__file__).resolve().parent.parent.parent
RECORD = pathlib.Path(__file__).with_name("instructions.txt")
# Names relative to the project and an environment of our own: neither where a checkout lies nor who runs it may count.
RUN = ["check", "fixtures/routes/team-day-1.gpx", "--map", "fixtures/island.osm.pbf", "--region", "england",
       "--start", "2026-12-05T09:00", "--jobs", "1"]
ENVIRONMENT = {"LC_ALL": "C", "TZ": "UTC", "PATH": "/usr/bin:/bin", "WAYWARDEN_DATA": "rules"}
TOLERATED = 0.10


def by_object(profile, program):
    """Instructions by where their code lies, of a profile as callgrind writes it (its manual: Callgrind Format Specification)."""
    names, here, is_call, out = {}, "", False, collections.Counter()
    for line in profile.splitlines():
        if match := re.match(r"(c?ob)=\((\d+)\)(?: (.*))?$", line):
            if match[3]:
                names[match[2]] = match[3]
            if match[1] == "ob":
                here = names[match[2]]
        elif line.startswith("calls="):
            is_call = True  # the next line holds what the function called has cost: counted there
        elif match := re.match(r"[+\-*\d]\S* (\d+)$", line):
            if not is_call:
                part = "program" if here == program else "loader" if "ld-linux" in here else "libraries"
                out[part] += int(match[1])
            is_call = False
        elif match := re.match(r"totals: (\d+)$", line):
            if int(match[1]) != sum(out.values()):
                raise SystemExit("the profile's parts are not its total: is valgrind's format another?")
    return out


def count(program):
    with tempfile.TemporaryDirectory() as folder:
        profile = pathlib.Path(folder) / "profile"
        done = subprocess.run(["valgrind", "--tool=callgrind", f"--callgrind-out-file={profile}", program, *RUN], cwd=PROJECT,
                              env=ENVIRONMENT, capture_output=True, text=True)
        if done.returncode not in (0, 1, 3):
            raise SystemExit(f"the run ended with {done.returncode}:\n{done.stderr}")
        out = by_object(profile.read_text(), program)
        if out["program"] == 0:
            raise SystemExit("the profile holds no instruction of the program: is valgrind's format another?")
        return out


def recorded():
    rows = (line.split() for line in RECORD.read_text().splitlines() if line and not line.startswith("#"))
    return {part: int(figure) for part, figure in rows}


def record(counted):
    RECORD.write_text("# Instructions of the run in instructions.py, a release build by GCC 12 on Debian 12, x86-64.\n"
                      + "".join(f"{part} {counted[part]}\n" for part in ("program", "libraries")))


def compare(counted):
    """The parts that have grown too much; says how all of them changed."""
    grown = []
    for part, before in recorded().items():
        change = counted[part] / before - 1
        print(f"{part}: {counted[part]:,} instructions, {change:+.1%} against the {before:,} recorded")
        if change > TOLERATED:
            grown.append(part)
        elif change < -TOLERATED:
            print(f"{part} has become cheaper by more than {TOLERATED:.0%}: record it (--record) so that it stays so")
    return grown


def main():
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("program")
    ask.add_argument("--build-type", default="Release")
    ask.add_argument("--sanitize", default="")
    ask.add_argument("--record", action="store_true")
    ask.add_argument("--runs", type=int, default=1, help="more, to see how steady the figures are; the last counts")
    a = ask.parse_args()
    if not shutil.which("valgrind"):
        print("SKIPPED: valgrind is not there (apt-get install valgrind)")
        return 77
    if a.sanitize or a.build_type != "Release":
        print(f"SKIPPED: instructions are recorded for a release build, this is {a.build_type} {a.sanitize}".rstrip())
        return 77
    for _ in range(a.runs):
        counted = count(str(pathlib.Path(a.program).resolve()))
        print(", ".join(f"{part} {figure:,}" for part, figure in sorted(counted.items())))
    if a.record:
        record(counted)
        return 0
    if grown := compare(counted):
        print(f"More than {TOLERATED:.0%} more in: {', '.join(grown)}. Find out why (callgrind_annotate), or, where the change is worth it:\n"
              f"    tests/bench/instructions.py {a.program} --record\nand commit instructions.txt with it.")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
