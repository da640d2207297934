#!/usr/bin/python3
"""Runs one whole command and compares exit code, standard output, standard error and files with what is written down.

    run_case.py PROGRAM CASE            compare
    run_case.py --update PROGRAM CASE   write down what comes out now; read the difference before you commit it
    run_case.py --orphans               fail where a file belongs to no case

A case is a folder: `args` (one argument a line), `exit`, `stdout`, `stderr`, where it needs them `stdin`, files named in
`args`, and `out/` with the files that must come out in {out}. The command runs in the project's folder. In
`args` {case} is the case's folder and {out} a temporary one; in what is written down {version} stands for
the version and {out} for the temporary folder. A long file may stand as one of the two lines ANY_... below. Every JSON result is checked against docs/result.schema.json.
"""
import csv
import io
import json
import os
import subprocess
import sys
import tempfile
import xml.etree.ElementTree
from pathlib import Path

GOLDEN = Path(__file__).resolve().parent
PROJECT = GOLDEN.parent.parent
sys.path.insert(0, str(GOLDEN))
ANY_RESULT = "any valid result\n"  # written down for a long JSON result that another case holds word for word
ANY_FORMAT = "any well-formed file\n"  # of its format: other cases hold those word for word, or tests/pages looks at it
KNOWN = {"args", "exit", "stdout", "stderr", "stdin"}


def case_args(case):
    return (case / "args").read_text().splitlines()


def orphans_of(case):
    named = "\n".join(case_args(case)) if (case / "args").exists() else ""
    for path in sorted(case.rglob("*")):
        inside = path.relative_to(case)
        if path.is_dir() or inside.parts[0] == "out" or str(inside) in KNOWN:
            continue
        if "{case}/" + str(inside) not in named and "{case}/" + inside.parts[0] not in named.split("\n"):
            yield path


def all_orphans():
    """Files of no case, and cases that lack a part."""
    wrong = []
    for entry in sorted(GOLDEN.iterdir()):
        if entry.name == "__pycache__" or entry.suffix == ".py":
            continue
        missing = [] if not entry.is_dir() else [n for n in ("args", "exit", "stdout", "stderr")
                                                if not (entry / n).exists()]
        if not entry.is_dir():
            wrong.append(f"{entry}: belongs to no case")
        elif missing:
            wrong.append(f"{entry}: lacks {', '.join(missing)}")
        else:
            wrong += [f"{path}: is not named in args" for path in orphans_of(entry)]
    return wrong


def version_of(program):
    return subprocess.run([program, "--version"], capture_output=True, text=True, check=True).stdout.split()[1]


def run(program, case, out):
    args = [a.replace("{case}", str(case.relative_to(PROJECT))).replace("{out}", out) for a in case_args(case)]
    given = (case / "stdin").read_bytes() if (case / "stdin").exists() else b""
    env = {k: v for k, v in os.environ.items() if not k.startswith("WAYWARDEN_")}
    return subprocess.run([program, *args], cwd=PROJECT, input=given, capture_output=True, env=env, timeout=300)


def to_pattern(data, version, out):
    text = data.decode("utf-8").replace(out, "{out}")
    for before, after in (("waywarden ", ""), ('"version": "', '"')):
        text = text.replace(before + version + after, before + "{version}" + after)
    return text


def show_difference(what, expected, found):
    import difflib
    lines = difflib.unified_diff(expected.splitlines(True), found.splitlines(True), f"{what} written down",
                                 f"{what} now", n=2)
    return "".join(line if line.endswith("\n") else line + "\n" for line in list(lines)[:80])


def outcome(program, case):
    """Everything that came out, by the name of the file that holds it."""
    with tempfile.TemporaryDirectory() as folder:
        out = str(Path(folder) / "out")
        done = run(program, case, out)
        version = version_of(program)
        found = {"exit": f"{done.returncode}\n", "stdout": to_pattern(done.stdout, version, out),
                 "stderr": to_pattern(done.stderr, version, out)}
        if Path(out).exists():
            for path in sorted(p for p in Path(out).rglob("*") if p.is_file()):
                found[f"out/{path.relative_to(out)}"] = to_pattern(path.read_bytes(), version, out)
        return found


def wrong_results(found):
    from check_result import problems
    for name, text in found.items():
        if text.startswith("{") and '"waywarden-result"' in text[:200]:
            yield from (f"{name}: {p}" for p in problems(json.loads(text)))
        elif name.endswith(".json"):
            yield f"{name}: is no result"


def malformed(name, text):
    """Why a file is none of the format its name promises; None where it is one."""
    try:
        if name.endswith(".gpx"):
            xml.etree.ElementTree.fromstring(text.encode())
        elif name.endswith((".sarif", ".geojson")):
            json.loads(text)
        elif name.endswith(".csv"):
            widths = {len(row) for row in csv.reader(io.StringIO(text, newline=""), strict=True)}
            assert len(widths) == 1, f"rows of {sorted(widths)} cells"
        elif name.endswith(".html"):
            assert text.startswith("<!DOCTYPE html>") and text.endswith("</body>\n</html>\n"), "no whole page"
        else:
            return "is of no known format"
    except Exception as e:  # whatever the reader of the format says
        return f"is malformed: {e}"
    return None


def written_down(path):
    return path.read_bytes().decode()  # read_text() would take CRLF for LF


def compare(program, case):
    found = outcome(program, case)
    wrong = [f"{p}: is not named in args" for p in orphans_of(case)] + list(wrong_results(found))
    names = {"exit", "stdout", "stderr"} | {str(p.relative_to(case)) for p in (case / "out").rglob("*") if p.is_file()}
    for name in sorted(names | set(found)):
        path = case / name
        if not path.exists():
            wrong.append(f"{name}: came out, but is not written down")
        elif name not in found:
            wrong.append(f"{name}: is written down, but did not come out")
        elif written_down(path) == ANY_RESULT and name.endswith(".json"):
            continue  # checked by wrong_results
        elif written_down(path) == ANY_FORMAT:
            if why := malformed(name, found[name]):
                wrong.append(f"{name} {why}")
        elif written_down(path) != found[name]:
            wrong.append(f"{name} differs\n{show_difference(name, written_down(path), found[name])}")
    return wrong


def update(program, case):
    found = outcome(program, case)
    for old in (case / "out").rglob("*"):
        if old.is_file() and str(old.relative_to(case)) not in found:
            old.unlink()
    for name, text in found.items():
        if name.startswith("out/") and (case / name).exists() and (case / name).read_text() in (ANY_RESULT, ANY_FORMAT):
            continue
        (case / name).parent.mkdir(parents=True, exist_ok=True)
        (case / name).write_text(text)
    return list(wrong_results(found))


def main():
    args = sys.argv[1:]
    if args == ["--orphans"]:
        wrong = all_orphans()
    elif len(args) == 3 and args[0] == "--update":
        wrong = update(str(Path(args[1]).resolve()), Path(args[2]).resolve())
    elif len(args) == 2:
        wrong = compare(str(Path(args[0]).resolve()), Path(args[1]).resolve())
    else:
        sys.exit(__doc__)
    print("\n".join(wrong))
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
