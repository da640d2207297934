"""What the trials of this folder share: a run of the program under limits, and a record of what was tried.

A run is watched: a signal, a run over its time or memory, an exit code that the manual does not know, or an error of other
than one line is wrong whatever the trial was about.
"""
import os
import resource
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections import namedtuple
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
ISLAND = PROJECT / "fixtures/island.osm.pbf"
ROUTES = PROJECT / "fixtures/routes"
# A fixed region and day, so that nothing depends on when and where the trial runs.
JUDGED = ["--region", "england", "--start", "2026-12-05"]
UNUSABLE, NOT_VOUCHED = 2, 3
k_seconds, k_mib = 60, 1024

Done = namedtuple("Done", "code out err seconds mib cpu_s")
wrong, tried = [], []
_lock = threading.Lock()


def program():
    return os.path.abspath(sys.argv[1])


def expect(truth, what):
    if not truth:
        with _lock:
            wrong.append(what)
    return truth


def note(what):
    """A line of what was tried; shown at once, so that a trial that hangs can be named."""
    with _lock:
        tried.append(what)
        print(f"tried: {what}", flush=True)


def _watch(process, seconds):
    """Waits for the process; its status and resources. One that is over its time is killed."""
    alarm = threading.Timer(seconds, process.kill)
    alarm.start()
    try:
        _, status, used = os.wait4(process.pid, 0)
    finally:
        alarm.cancel()
    process.returncode = os.waitstatus_to_exitcode(status)
    return used


def run(args, what="", seconds=k_seconds, mib=k_mib, codes=(0, 1, 2, 3), env=None, cwd=None, stdin=subprocess.DEVNULL,
        before=None, address_mib=None):
    """One run. `codes` are the exit codes allowed; `mib` the most memory; `before` the words of a command to run it under."""
    what = what or " ".join(map(str, args))

    def limit():
        if address_mib:
            resource.setrlimit(resource.RLIMIT_AS, (int(address_mib * 2**20),) * 2)

    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        began = time.monotonic()
        process = subprocess.Popen([*(before or []), program(), *map(str, args)], stdin=stdin, stdout=out, stderr=err,
                                   cwd=cwd or PROJECT, env=env, preexec_fn=limit if address_mib else None)
        used = _watch(process, seconds)
        took = time.monotonic() - began
        out.seek(0)
        err.seek(0)
        done = Done(process.returncode, out.read(), err.read(), took, used.ru_maxrss / 1024,
                    used.ru_utime + used.ru_stime)
    said = done.err[:300].decode(errors="replace")
    if done.code == -signal.SIGKILL and took >= seconds:
        expect(False, f"{what}: not done after {seconds} s")
    elif expect(done.code >= 0, f"{what}: ended by signal {-done.code}"):
        expect(done.code in codes, f"{what}: exit code {done.code}, not {codes}: {said}")
    expect(done.mib <= mib, f"{what}: {done.mib:.0f} MiB, more than {mib}")
    if done.code == UNUSABLE:
        expect(done.err.count(b"\n") == 1 and done.err.endswith(b"\n"), f"{what}: not one line: {said!r}")
        expect(len(done.err) < 2000, f"{what}: a line of {len(done.err)} bytes")
        expect(all(c >= 32 or c == 10 for c in done.err) and b"\x7f" not in done.err,
               f"{what}: control characters on standard error: {done.err[:300]!r}")
    return done


def check(route, maps, *more, **how):
    maps = maps if isinstance(maps, (list, tuple)) else [maps]
    return run(["check", route, *(word for m in maps for word in ("--map", m)), *JUDGED, *more], **how)


def side_by_side(function, cases):
    """Two runs at once: the machines that this is tried on have two cores."""
    with ThreadPoolExecutor(2) as pool:
        return list(pool.map(function, cases))


def end():
    for one in wrong[:40]:
        print("wrong:", one)
    print(f"{len(wrong)} wrong" if wrong else f"all {len(tried)} trials held")
    sys.exit(1 if wrong else 0)
