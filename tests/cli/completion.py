#!/usr/bin/python3
"""The completion scripts, read by the shells they are for, which are then asked what they offer.

    completion.py PROGRAM

bash is always there; zsh and fish where they are installed. What a shell offers is what it would show on Tab: bash by its
COMPREPLY, fish by `complete -C`, zsh in a terminal of its own, where the first Tab is what loads the script. Ends with 77
where neither zsh nor fish is there.
"""
import os
import pathlib
import pty
import select
import shutil
import subprocess
import sys
import tempfile
import time

program = pathlib.Path(sys.argv[1]).resolve()

# The line as typed, what must be offered for its last word, and what must not.
ASKED = [
    ("waywarden ch", {"check"}, {"collect", "demo"}),
    ("waywarden check --ma", {"--map"}, {"--party"}),
    ("waywarden check --region s", {"scotland"}, {"england", "sheet/"}),
    ("waywarden check --party ", {"club-walk", "ours.json"}, {"england"}),
    ("waywarden check --format ", {"text", "html", "legs", "card"}, {"ours.json"}),
    ("waywarden check --map co", {"county.osm.pbf"}, {"check"}),
    ("waywarden check --out ", {"sheet/"}, {"ours.json"}),
    ("waywarden check walk.gpx --fail-on ", {"error", "warning", "note", "never"}, {"ours.json"}),
    ("waywarden prepare county.osm.pbf -o co", {"county.osm.pbf"}, set()),
    ("waywarden rules ", {"list", "show", "validate"}, {"check"}),
    ("waywarden completion f", {"fish"}, {"zsh"}),
]


def script(shell):
    return subprocess.run([program, "completion", shell], capture_output=True, text=True, check=True).stdout


def words(line):
    return [*line.split(), *([""] if line.endswith(" ") else [])]


def ask_bash(home, line):
    given = words(line)
    quoted = " ".join(f"'{w}'" for w in given)
    done = subprocess.run(["bash", "--norc", "-c", f"source {home}/script.bash; COMP_WORDS=({quoted}); COMP_CWORD={len(given) - 1}; "
                           'complete -p waywarden >/dev/null && _waywarden; printf "%s\\n" "${COMPREPLY[@]}"'],
                          cwd=home / "here", capture_output=True, text=True, timeout=60)
    assert done.returncode == 0 and not done.stderr, done.stderr
    return {w + "/" if (home / "here" / w).is_dir() and w else w for w in done.stdout.split()}


def ask_fish(home, line):
    done = subprocess.run(["fish", "--no-config", "-c", f"source {home}/script.fish; complete -C '{line}'"], cwd=home / "here",
                          capture_output=True, text=True, timeout=60, env=dict(os.environ, HOME=str(home)))
    assert done.returncode == 0 and not done.stderr, done.stderr
    return {offer.split("\t")[0] for offer in done.stdout.splitlines()}


# Tab puts all that is offered into the line, and Ctrl-X hands the line over.
ZSH = """
PS1=; fpath=({home}/functions $fpath); autoload -Uz compinit; compinit -u -D
put_all() {{ compstate[insert]=all; compstate[list]= }}
tab() {{ comppostfuncs=(put_all); zle complete-word }}
hand_over() {{ print -r -- "$BUFFER" > {home}/offered; exit }}
zle -N tab; zle -N hand_over; bindkey '^I' tab; bindkey '^X' hand_over
print ready
"""


def ask_zsh(home, line):
    (home / "offered").unlink(missing_ok=True)
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(home / "here")
        os.environ.update(HOME=str(home), TERM="dumb", PATH=f"{home}/bin:/usr/bin:/bin")
        os.execvp("zsh", ["zsh", "-f", "-i"])
    shown = b""

    def wait_for(enough):
        nonlocal shown
        until = time.monotonic() + 60
        while not enough():
            assert time.monotonic() < until, f"zsh does not answer: {shown!r}"
            if select.select([terminal], [], [], 0.1)[0]:
                try:
                    shown += os.read(terminal, 4096)
                except OSError:  # it has ended
                    assert enough(), shown
    os.write(terminal, f"source {home}/setting.zsh\n".encode())
    wait_for(lambda: b"\nready" in shown)
    os.write(terminal, line.encode() + b"\t\x18")
    wait_for(lambda: (home / "offered").exists() and (home / "offered").read_text().endswith("\n"))
    os.close(terminal)
    os.waitpid(child, 0)
    before = " ".join(words(line)[:-1]) + " "
    offered = (home / "offered").read_text()
    assert offered.startswith(before), (line, offered)
    return set(offered[len(before):].split())


asked = 0
with tempfile.TemporaryDirectory() as folder:
    home = pathlib.Path(folder)
    for name in ("here/sheet", "functions", "bin"):
        (home / name).mkdir(parents=True)
    for name in ("ours.json", "county.osm.pbf", "walk.gpx"):
        (home / "here" / name).touch()
    (home / "bin/waywarden").symlink_to(program)
    (home / "setting.zsh").write_text(ZSH.format(home=home))
    (home / "functions/_waywarden").write_text(script("zsh"))  # as in the package
    shells = {"bash": (ask_bash, ["-n"]), "zsh": (ask_zsh, ["-n"]), "fish": (ask_fish, ["--no-execute"])}
    for shell, (ask, parse) in shells.items():
        if not shutil.which(shell):
            print(f"{shell} is not here: its script was not tried (apt-get install {shell})")
            continue
        path = home / f"script.{shell}"
        path.write_text(script(shell))
        parsed = subprocess.run([shell, *parse, path], capture_output=True, text=True)
        assert parsed.returncode == 0 and not parsed.stderr, parsed.stderr
        for line, wanted, unwanted in ASKED:
            offered = ask(home, line)
            assert wanted <= offered, f"{shell}: {line!r} offers {sorted(offered)}, not {sorted(wanted - offered)}"
            assert not unwanted & offered, f"{shell}: {line!r} offers {sorted(unwanted & offered)}"
            asked += 1
print(f"{asked} questions answered")
if asked == len(ASKED):
    sys.exit(77)
