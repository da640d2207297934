#!/usr/bin/python3
"""Fails where a folder of src/ includes from a folder that the architecture does not let it use."""
import re
import sys
from pathlib import Path

SRC = Path(__file__).resolve().parent.parent / "src"
STEPS = {  # what each folder may use beside itself; the order of one way through
    "geo": set(),
    "region": {"geo"},
    "route": {"geo"},
    "map": {"geo", "region"},
    "match": {"geo", "route", "map"},
    "survey": {"geo", "region", "route", "map", "match"},
    "rules": {"geo", "region", "route", "map", "match", "survey"},
    "report": {"geo", "region", "route", "map", "match", "survey", "rules"},
    "cli": {"geo", "region", "route", "map", "match", "survey", "rules", "report"},
}
TOP = {"error.hpp"}  # what everybody may use
ASSESS = {"report", "cli"}  # who may see the whole assessment

wrong = []
for folder in sorted(p for p in SRC.iterdir() if p.is_dir()):
    if folder.name not in STEPS:
        wrong.append(f"src/{folder.name}: is no folder of the architecture")
        continue
    for path in sorted(folder.rglob("*.?pp")):
        for number, line in enumerate(path.read_text().splitlines(), 1):
            found = re.match(r'\s*#\s*include\s*"([^"]+)"', line)
            if not found:
                continue
            used = found.group(1)
            top = used.split("/")[0]
            allowed = top == folder.name or top in STEPS[folder.name] or used in TOP
            if not allowed and not (used == "assess.hpp" and folder.name in ASSESS):
                wrong.append(f"{path.relative_to(SRC.parent)}:{number}: {folder.name} may not use {used}")
print("\n".join(wrong))
sys.exit(1 if wrong else 0)
