#!/usr/bin/python3
"""The manual page and the completion scripts hold the options that the program has, no more and no fewer.

    words_agree.py WAYWARDEN DOCS_FOLDER
"""
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

program, docs = sys.argv[1:]


def say(*args):
    done = subprocess.run([program, *args], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, (args, done.stderr)
    return done.stdout


top = say("--help")
commands = re.findall(r"^  ([a-z]+) {2,}", top.split("Subcommands:")[1], re.M)
assert {"check", "rules", "completion"} <= set(commands), commands
options = {c: set(re.findall(r"^ +(?:-\w,)?(--[a-z][a-z-]*)", say(c, "--help"), re.M)) for c in commands}
assert "--map" in options["check"], options["check"]

page = pathlib.Path(docs, "waywarden.1").read_text()
page = re.sub(r"\\f.", "", page).replace("\\-", "-")
in_page = set(re.findall(r"(?<![\w-])(--[a-z][a-z-]*)", page))
known = set().union(*options.values()) | {"--version"}
assert not known - in_page - {"--help"}, f"the manual page lacks {sorted(known - in_page)}"
assert not in_page - known, f"the manual page has {sorted(in_page - known)}, which the program has not"
for command in commands:
    assert f"waywarden {command}" in page, f"the manual page lacks the command {command}"


def complete(*words):
    """What bash offers for the last word."""
    with tempfile.NamedTemporaryFile("w", suffix=".bash") as script:
        script.write(say("completion", "bash"))
        script.flush()
        line = " ".join(f"'{w}'" for w in ("waywarden", *words))
        done = subprocess.run(["bash", "-c", f'source {script.name}; COMP_WORDS=({line}); COMP_CWORD={len(words)}; _waywarden; '
                               'printf "%s\\n" "${COMPREPLY[@]}"'], capture_output=True, text=True, timeout=20)
        assert done.returncode == 0 and not done.stderr, done.stderr
        return set(done.stdout.split())


assert complete("ch") == {"check"}
assert complete("check", "--fo") == {"--for", "--format"}
assert "scotland" in complete("check", "--region", "s") and "england" not in complete("check", "--region", "s")
assert complete("check", "--party", "club") == {"club-walk"}
assert complete("rules", "") == {"list", "show", "validate"}
for command in commands:
    assert complete(command, "--") == options[command], command

for shell in ("zsh", "fish"):
    text = say("completion", shell)
    for command in commands:
        assert command in text
    for option in known - {"--version"}:
        assert (option in text) if shell == "zsh" else (f"-l {option[2:]}" in text), (shell, option)
    if shutil.which(shell):
        checked = subprocess.run([shell, "-n", "/dev/stdin"], input=text, capture_output=True, text=True)
        assert checked.returncode == 0, checked.stderr
    else:
        print(f"{shell} is not here: its script was not parsed by it")
bad = subprocess.run([program, "completion", "csh"], capture_output=True, text=True)
assert bad.returncode == 2 and "bash, zsh and fish" in bad.stderr
print(f"{len(commands)} commands, {len(known)} options")
