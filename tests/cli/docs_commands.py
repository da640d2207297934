#!/usr/bin/python3
"""Every command that the documents show is run: each block of commands and each command within a sentence.

    docs_commands.py PROGRAM

A document is worked through from top to bottom in a scratch copy of the project, so that what one command writes is there
for the next. Names that stand for the reader's own files are copies of the invented island and its walks (STAND_INS). A
command must end with the exit code that fits it, write what it is told to write, and say nothing on standard error that
means misuse. What cannot be run here is listed in NOT_RUN with the reason; an entry that no document shows any more fails,
and so does a block that is neither commands nor listed in NO_COMMANDS.
"""
import json
import os
import pathlib
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
program = pathlib.Path(sys.argv[1]).resolve()
DOCUMENTS = ["README.md", "DEVELOPERS.md", *sorted(str(p.relative_to(ROOT)) for p in (ROOT / "docs").glob("*.md")),
             "tests/fuzz/README.md", "fixtures/README.md"]

# What each name in the documents stands for in the scratch copy: a file or folder of the project.
STAND_INS = {
    "WALK.gpx": "fixtures/routes/team-day-1.gpx", "walk.gpx": "fixtures/routes/team-day-1.gpx",
    "route.gpx": "fixtures/routes/team-day-1.gpx", "walks": "fixtures/routes", "CARD.csv": "tests/golden/route-card/card.csv",
    "COUNTY.osm.pbf": "fixtures/island.osm.pbf", "MAP.osm.pbf": "fixtures/island.osm.pbf",
    "island.osm.pbf": "fixtures/island.osm.pbf", "srv/maps/county.osm.pbf": "fixtures/island.osm.pbf",
}
# Results that a reader has from before: made by these commands first.
MADE_BEFORE = ["waywarden check WALK.gpx --map COUNTY.osm.pbf --start 2026-12-05 --format json > walk.json",
               "waywarden check walks --map COUNTY.osm.pbf --start 2026-12-05 --format json --out runs",
               "waywarden accept walk.json 3 --by leader --why seen --until 2027-09-30 -o accepted.json"]
COPIED_AFTER = {"LAST-YEAR.json": "walk.json", "A.json": "runs/team-day-1.json", "B.json": "runs/charity-loop.json"}
# Files that a document holds whole, by the name inside, and what it calls them.
FILES_SHOWN = {"skerry-youth": "skerry.json", "skerry-lantern-walk": "skerry-lantern-walk.json",
               "skerry-seniors": "skerry-seniors.json", "skerry-lantern-party": "lantern-party.json"}
# Words for something that the reader puts in.
WORDS = [(r"\bEXTRACT\.\.\.", "COUNTY.osm.pbf"), (r"(prepare .* -o) FILE", r"\1 county.map"), (r"(--map) FILE", r"\1 COUNTY.osm.pbf"),
         (r"(validate) FILE", r"\1 rules/sets/walking-core.json"), (r"\bROUTE\b", "WALK.gpx"), (r"(--out) DIR", r"\1 put-together"),
         (r"\bSIZE\b", "512M"), (r"(--jobs) N\b", r"\1 2"), (r"[\[\]]", ""), (r"(rules show) ID", r"\1 on-a-motorway"),
         (r"way/123", "way/110"), (r"golden/CASE", "golden/help"), (r" /srv/", " $HOME/srv/"), (r"\bOUT_DIR\b", "island"), (r"\bWAYWARDEN\b", "build/waywarden")]

# By how a command begins: whole words.
NOT_RUN = {
    "./run test": "this test is part of it", ".ci/run": "as above", "ctest": "as above",
    "git diff": "the scratch copy has no history",
    "cmake --build": "builds", "cmake --preset": "builds", "cpack": "the test `package` does it",
    "apt-get install": "the test `package-fresh-root` does it",
    "tests/fuzz/run.py build-fuzz": "needs the fuzz targets; an hour",
    "tests/real/accuracy.py": "real maps, minutes", "tests/real/signed_routes.py": "as above",
    "tests/bench/whole_runs.py": "minutes; needs make_country built", "tests/bench/prepared_runs.py": "as above",
    "tests/bench/plain_pipeline.py": "needs gdal-bin and spatialite",
    "tests/bench/instructions.py build/waywarden --record": "changes what the test `instructions` compares with",
    "build/tests/bench_parts": "needs libbenchmark-dev and a build of it",
}
# Blocks that show something else, by how they begin.
NO_COMMANDS = ["Route: Team Fulmar, day 1", "route file ─► route ─► Route", "2/walks@ness.example"]

TOOLS = r"(?:\./run|\.ci/run|waywarden|build/\S+|tests/\S+|(?:/usr/bin/)?python3|cmake|ctest|cpack|apt-get|parallel|awk|ls|git|LC_ALL=C;) ?"
NAMES_A_TOOL = {"./run", "parallel", "waywarden", "python3", "cmake", "ctest", "git"}  # in a sentence, not a command
MISUSE = re.compile(r"Usage:|unknown|was not expected|is required|No such file|not found|Traceback|mistake of waywarden", re.I)


def blocks(text):
    """Lists of lines: fenced without a language, or indented by four after an empty line."""
    out, fence, before = [], None, ""
    for line in text.splitlines():
        if line.startswith("```"):
            fence = None if fence is not None else line[3:].strip() or "commands"
            out += [[]] if fence == "commands" else []
        elif fence == "commands":
            out[-1].append(line)
        elif fence is None and re.match(r"    \S", line):
            out += [[]] if not before.startswith("    ") else []
            out[-1].append(line[4:])
        before = "" if line.startswith("```") else line
    return [block for block in out if block]


def commands_of(text, name):
    """In order of the document, without the remark that stands after two spaces."""
    found = []
    for block in blocks(text):
        if any(block[0].startswith(start) for start in NO_COMMANDS):
            continue
        if not re.match(TOOLS, block[0]):
            raise AssertionError(f"{name}: is this a command? {block[0]!r}: see TOOLS and NO_COMMANDS")
        joined = re.sub(r"\s*\\\n\s*", " ", "\n".join(block))
        for line in joined.splitlines():
            assert re.match(TOOLS, line), f"{name}: a line that is no command among commands: {line!r}"
            found.append((text.find(line.split("  ")[0][:40]), re.sub(r"(?<=\S)\s{2,}(?!-|\S*:::).*", "", line)))
    sentences = re.sub(r"(?m)^```.*?^```", lambda block: " " * len(block.group()), text, flags=re.S)
    for quoted in re.finditer(r"`([^`\n]*)`", sentences):
        if not re.match(TOOLS, quoted.group(1)):
            continue
        command = " ".join(quoted.group(1).split())
        if command not in NAMES_A_TOOL and not re.match(r"(tests|build)/[\w./-]*$", command):
            found.append((quoted.start(), command))
    return [command for _, command in sorted(found, key=lambda f: f[0])]


def scratch_copy(home):
    for part in ("docs", "fixtures", "rules", "README.md"):
        (shutil.copytree if (ROOT / part).is_dir() else shutil.copy)(ROOT / part, home / part)
    for part in ("tests/golden", "tests/cli"):
        shutil.copytree(ROOT / part, home / part)
    for name, source in STAND_INS.items():
        (home / name).parent.mkdir(parents=True, exist_ok=True)
        (shutil.copytree if (ROOT / source).is_dir() else shutil.copy)(ROOT / source, home / name)
    (home / "machines").write_text("4/walks@skerry.example\n4/walks@holm.example\n")
    (home / "build").mkdir()
    (home / "build/waywarden").symlink_to(program)
    # ./run builds first; here it stands for what it runs then.
    (home / "run").write_text(f'#!/bin/sh\nexec "{program}" "$@"\n')
    (home / "run").chmod(0o755)
    (home / "bin").mkdir()
    (home / "bin/waywarden").symlink_to(program)
    # Another machine is a folder that one's commands run in: ssh [OPTION...] MACHINE COMMAND...
    (home / "bin/ssh").write_text(f"""#!/bin/bash
while [[ $1 == -* ]]; do [[ $1 == -[lpioF] ]] && shift; shift; done
mkdir -p "{home}/machine/$1"; export HOME="{home}/machine/$1"; shift
[[ $1 == -- ]] && shift
cd; exec bash -c "$*"
""")
    (home / "bin/ssh").chmod(0o755)


def written_by(command):
    """The files and folders that a command is told to write."""
    parts = shlex.split(command)
    for option in ("-o", "--out", "--output", ">"):
        yield from (parts[i + 1] for i, part in enumerate(parts[:-1]) if part == option)


def codes_for(command):
    """Team Fulmar's walk has objections (1); its card alone cannot be vouched for (3); the rest just succeeds."""
    if command.startswith("parallel "):  # ends with the number of jobs that did not end with 0: two walks have objections
        return {2}
    if re.search(r"(\./run|waywarden) (check|collect) ", command):
        return {3} if "check CARD.csv" in command else {1}
    return {0}


def run(command, home, environment, where):
    for written in written_by(command):
        (shutil.rmtree if (home / written).is_dir() else lambda p: p.unlink(missing_ok=True))(home / written)
    done = subprocess.run(["bash", "-euo", "pipefail", "-c", command], cwd=home, env=environment, capture_output=True, text=True,
                          timeout=300, stdin=subprocess.DEVNULL)
    told = f"{where}: {command}\nexit code {done.returncode}\n{done.stderr[-2000:]}"
    assert done.returncode in codes_for(command), told
    assert not MISUSE.search(done.stderr), told
    for written in written_by(command):
        path = home / written
        assert any(path.iterdir()) if path.is_dir() else path.stat().st_size > 0, f"{told}\n{written} is not there"
    assert done.stdout or list(written_by(command)) or re.match("awk|python3|/usr/bin/python3", command), f"{told}\nsaid nothing"


def put_in(command):
    for pattern, instead in WORDS:
        command = re.sub(pattern, instead, command)
    return command


def work_through(name, home, environment, shown, failed):
    text = (ROOT / name).read_text()
    for block in re.findall(r"```json\n(.*?)```", text, re.S):
        if '"format": "waywarden-' in block:
            held = json.loads(block)["name"]
            (home / FILES_SHOWN[held]).write_text(block)
    for command in commands_of(text, name):
        listed = [start for start in NOT_RUN if re.match(re.escape(start) + r"(?![\w-])", command)]
        if listed:
            shown.update(listed)
            script = ROOT / command.split()[0]
            if script.suffix == ".py" and not os.access(script, os.X_OK):
                failed.append(f"{name}: {command}: {script} cannot be run")
        elif name == "docs/many-machines.md" and not (shutil.which("parallel") and shutil.which("rsync")):
            print(f"{name}: GNU parallel and rsync are not both here; not run: {command}")
        else:
            try:
                run(put_in(command), home, environment, name)
            except AssertionError as error:
                failed.append(str(error))
            yield command


def main():
    shown, failed, count = set(), [], 0
    # GNU parallel writes its command for another machine in the language of $SHELL, which a service may not have set.
    environment = dict(os.environ, LC_ALL="C.UTF-8", PARALLEL="--will-cite", SHELL="/bin/bash")
    for name in DOCUMENTS:
        if not commands_of((ROOT / name).read_text(), name):
            continue
        with tempfile.TemporaryDirectory() as folder:
            home = pathlib.Path(folder)
            scratch_copy(home)
            environment.update(HOME=folder, PATH=f"{home}/bin:{os.environ['PATH']}")
            for command in MADE_BEFORE:
                run(command, home, environment, "made before")
            for target, source in COPIED_AFTER.items():
                shutil.copy(home / source, home / target)
            count += len(list(work_through(name, home, environment, shown, failed)))
    assert not failed, "\n\n".join(failed)
    gone = sorted(set(NOT_RUN) - shown)
    assert not gone, f"no document shows this any more; take it off NOT_RUN: {gone}"
    assert count > 30, f"only {count} commands were found in the documents"
    print(f"{count} commands run, {len(shown)} kinds listed as not to be run here")


if __name__ == "__main__":
    main()
