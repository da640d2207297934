#!/usr/bin/python3
"""Checks that the example of output in README.md is what the program prints: readme_example.py WAYWARDEN."""
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
    for part in example.group(1).split("[...]\n"):
        if part.strip() not in rest:
            sys.exit("the example in README.md is not what this prints: ./run " + command.group(1))
        rest = rest[rest.index(part.strip()) + len(part.strip()):]
    print("the example is what the program prints")


if __name__ == "__main__":
    main()
