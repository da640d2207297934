#!/usr/bin/python3
"""Checks that the example of output in README.md is what the program prints: readme_example.py WAYWARDEN [--update].

With --update each part, from its first line to its last, becomes what is printed now; read it before you commit it.
"""
import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]


def main():
    text = (ROOT / "README.md").read_text()
    command = re.search(r"`\./run (check fixtures/[^`]*)`", text)
    example = re.search(r"```\n(Route: .*?)```", text, re.S)
    if not command or not example:
        sys.exit("README.md has no example of output any more")
    run = subprocess.run([str(pathlib.Path(sys.argv[1]).resolve()), *command.group(1).split()], cwd=ROOT, stdout=subprocess.PIPE,
                         text=True, check=False)
    rest = run.stdout
    if "--update" in sys.argv:
        parts = []
        for part in example.group(1).split("[...]\n"):
            lines, printed = part.strip("\n").splitlines(), rest.splitlines()
            start = printed.index(lines[0])
            end = printed.index(lines[-1], start)
            parts.append("\n".join(printed[start:end + 1]))
            rest = "\n".join(printed[end + 1:])
        (ROOT / "README.md").write_text(text[:example.start(1)] + "\n\n[...]\n\n".join(parts) + "\n" + text[example.end(1):])
        return
    for part in example.group(1).split("[...]\n"):
        if part.strip() not in rest:
            sys.exit("the example in README.md is not what this prints: ./run " + command.group(1))
        rest = rest[rest.index(part.strip()) + len(part.strip()):]
    print("the example is what the program prints")


if __name__ == "__main__":
    main()
