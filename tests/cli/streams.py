#!/usr/bin/python3
"""Where the output goes and what becomes of it when it cannot go there.

    streams.py WAYWARDEN
"""
import os
import pty
import subprocess
import sys
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
PROGRAM = str(Path(sys.argv[1]).resolve())
CHECK = ["check", "fixtures/routes/club-sund-round.gpx", "--map", "fixtures/island.osm.pbf", "--region", "england",
         "--start", "2026-12-05", "--party", "club-walk"]
wrong = []


def expect(what, holds):
    if not holds:
        wrong.append(what)


def run(args, **more):
    return subprocess.run([PROGRAM, *args], cwd=PROJECT, stdin=subprocess.DEVNULL, timeout=120, **more)


def on_a_terminal(env):
    """What is shown on standard output where that is a terminal."""
    main, other = pty.openpty()
    process = subprocess.Popen([PROGRAM, *CHECK], cwd=PROJECT, stdin=subprocess.DEVNULL, stdout=other,
                               stderr=subprocess.PIPE, env={**os.environ, **env})
    os.close(other)
    shown = b""
    while True:
        try:
            part = os.read(main, 65536)
        except OSError:
            break
        if not part:
            break
        shown += part
    process.communicate(timeout=120)
    os.close(main)
    return shown


# A full disk and a reader that went away are no success, for any command, and never a signal.
for args in (CHECK, CHECK + ["--format", "json"], ["--help"], ["--version"], ["rules", "list"],
             ["inspect", "--map", "fixtures/island.osm.pbf", "--at", "56.2,2.2"]):
    with open("/dev/full", "wb") as full:
        done = run(args, stdout=full, stderr=subprocess.PIPE)
    expect(f"{args[0]} on a full disk ends in 2", done.returncode == 2)
    expect(f"{args[0]} on a full disk says so in one line", done.stderr.count(b"\n") == 1)
reader, writer = os.pipe()
os.close(reader)
done = run(CHECK + ["--format", "json"], stdout=writer, stderr=subprocess.PIPE)
os.close(writer)
expect("a closed pipe ends in 2", done.returncode == 2)

# Colour: only a terminal, never with NO_COLOR (no-color.org), never a dumb one.
plain = run(CHECK, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
expect("no colour in a pipe", b"\x1b" not in plain.stdout)
expect("nothing on standard error in a pipe", plain.stderr == b"")
plain_terminal = {"TERM": "xterm", "NO_COLOR": ""}
expect("colour on a terminal", b"\x1b[1m" in on_a_terminal(plain_terminal))
expect("no colour with NO_COLOR", b"\x1b" not in on_a_terminal({"TERM": "xterm", "NO_COLOR": "1"}))
expect("no colour on a dumb terminal", b"\x1b" not in on_a_terminal({"TERM": "dumb", "NO_COLOR": ""}))

# With --out nothing goes to standard output; what was there stays whole where the new file cannot be written.
with tempfile.TemporaryDirectory() as folder:
    done = run(CHECK + ["--out", folder], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    expect("--out leaves standard output empty", (done.returncode, done.stdout, done.stderr) == (0, b"", b""))
    expect("--out writes the one file", os.listdir(folder) == ["club-sund-round.txt"])
    written = Path(folder, "club-sund-round.txt").read_bytes()
    expect("the file holds what standard output would", written == plain.stdout)
    os.mkdir(os.path.join(folder, "club-sund-round.json"))
    done = run(CHECK + ["--out", folder, "--format", "json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    expect("a file that cannot be put in place ends in 2", done.returncode == 2)
    expect("no temporary file is left", sorted(os.listdir(folder)) == ["club-sund-round.json", "club-sund-round.txt"])

# The same bytes whatever the number of threads and the locale.
for more, env in ((["--jobs", "1"], {}), (["--jobs", "7"], {}), ([], {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8"})):
    again = run(CHECK + more, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env={**os.environ, **env})
    expect(f"the same bytes with {more} {env}", again.stdout == plain.stdout)

print("\n".join("wrong: " + one for one in wrong) or "all streams behave")
sys.exit(1 if wrong else 0)
