#!/usr/bin/python3
"""The .deb on a bare Debian 12: what it declares to need is all that it needs.

    fresh_root.py CMAKE BUILD_FOLDER [--root FOLDER] [--mirror URL]

debootstrap fills a folder with the smallest Debian (some 60 MB over the network, as root, about a minute); apt installs the
.deb there with what it depends on and nothing else; in it, by chroot, the program checks its example, reads every format
and refuses by name what was not installed. With --root the folder is kept, and a second run takes it as it is.
Ends with 77, saying why, where this cannot be done here.
"""
import argparse
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import urllib.error
import urllib.request

ask = argparse.ArgumentParser()
ask.add_argument("cmake")
ask.add_argument("build", type=pathlib.Path)
ask.add_argument("--root", type=pathlib.Path)
ask.add_argument("--mirror", default="http://deb.debian.org/debian")
a = ask.parse_args()


def skip(why):
    print(f"SKIPPED: {why}")
    sys.exit(77)


def run(*command, allowed=(0,)):
    done = subprocess.run([str(c) for c in command], capture_output=True, text=True, timeout=900)
    assert done.returncode in allowed, f"{command}: exit code {done.returncode}\n{done.stdout[-3000:]}{done.stderr[-3000:]}"
    return done.stdout + done.stderr


def look_whether_it_can_be_done():
    if "VERSION_CODENAME=bookworm" not in pathlib.Path("/etc/os-release").read_text():
        skip("this is not Debian 12: what is built here does not belong on one")
    for tool in ("dpkg-shlibdeps", "debootstrap", "chroot"):
        if not shutil.which(tool):
            skip(f"{tool} is not here")
    if os.geteuid() != 0:
        skip("only root may fill a root folder")
    try:
        urllib.request.urlopen(f"{a.mirror}/dists/bookworm/Release", timeout=20).close()
    except (urllib.error.URLError, OSError) as error:
        skip(f"{a.mirror}: {error}")


def fill(root):
    """False where a package could not be fetched: nothing of ours is at fault then."""
    if not (root / "usr/bin/apt-get").exists():
        done = subprocess.run(["debootstrap", "--variant=minbase", "bookworm", root, a.mirror], capture_output=True, text=True)
        if done.returncode != 0:
            skip(f"debootstrap: {done.stdout[-2000:]}{done.stderr[-2000:]}")
    updated = subprocess.run(["chroot", root, "apt-get", "update"], capture_output=True, text=True)
    if updated.returncode != 0:
        skip(f"apt-get update: {updated.stderr[-2000:]}")


def look_at_the_program(root):
    # /usr/local/bin and what the caller has set stay outside.
    inside = ("chroot", root, "env", "-i", "PATH=/usr/bin:/bin", "waywarden")
    example = "/usr/share/waywarden/example"
    assert "not found" not in run("chroot", root, "ldd", "/usr/bin/waywarden")
    said = run(*inside, "demo", "/tmp/reports")
    assert "OBJECTIONS" in said + (root / "tmp/reports/summary.txt").read_text(), said
    assert "on-a-motorway" in run(*inside, "rules", "list")
    for form in ("text", "json", "html", "sarif", "geojson", "gpx", "csv", "legs"):
        out = run(*inside, "check", f"{example}/routes/team-day-1.gpx", "--map", f"{example}/island.osm.pbf", "--region", "auto",
                  "--format", form, allowed=(1,))
        assert len(out) > 200, (form, out)
    run(*inside, "prepare", f"{example}/island.osm.pbf", "-o", "/tmp/island.map")
    run(*inside, "check", f"{example}/routes/club-sund-round.gpx", "--map", "/tmp/island.map", allowed=(0, 1))
    # GDAL is only suggested: without it the option is refused, and the message says what to install.
    assert not list(root.glob("usr/lib/*/libgdal.so*"))
    (root / "tmp/heights.tif").write_bytes(b"II*\0")
    refused = run(*inside, "check", f"{example}/routes/team-day-1.gpx", "--map", f"{example}/island.osm.pbf", "--elevation",
                  "/tmp/heights.tif", allowed=(2,))
    assert "GDAL" in refused, refused
    man = root / "usr/share/man/man1"
    assert (man / "waywarden.1").exists() or (man / "waywarden.1.gz").exists()


def try_it(work, root):
    run(pathlib.Path(a.cmake).parent / "cpack", "-G", "DEB", "-B", work, "--config", a.build / "CPackConfig.cmake")
    deb = next(work.glob("*.deb"))
    fill(root)
    shutil.copy(deb, root / "tmp/waywarden.deb")
    run("chroot", root, "env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "install", "-y", "--reinstall", "--no-install-recommends",
        "/tmp/waywarden.deb")
    look_at_the_program(root)
    run("chroot", root, "apt-get", "remove", "-y", "waywarden")
    left = [str(p) for p in root.glob("usr/**/*waywarden*")]
    assert not left, f"after removal there is still {left}"
    print(f"{deb.name}: installed, run and removed on a bare Debian 12")


look_whether_it_can_be_done()
with tempfile.TemporaryDirectory() as folder:
    work = pathlib.Path(folder)
    (work / "package").mkdir()
    try_it(work / "package", a.root or work / "root")
