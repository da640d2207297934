#!/usr/bin/python3
"""What is shipped: the .deb and the archive of the sources.

    package.py CMAKE BUILD_FOLDER SOURCE_FOLDER

Makes the .deb and looks into it; makes the archive twice and compares the bytes. fresh_root.py installs the .deb on a bare
Debian. Ends with 77, saying why, where the tools are not there.
"""
import argparse
import hashlib
import pathlib
import shutil
import subprocess
import sys
import tempfile

ask = argparse.ArgumentParser()
ask.add_argument("cmake")
ask.add_argument("build", type=pathlib.Path)
ask.add_argument("source", type=pathlib.Path)
a = ask.parse_args()


def run(*command, **more):
    done = subprocess.run([str(c) for c in command], capture_output=True, text=True, **more)
    assert done.returncode == 0, f"{command}: {done.stdout}{done.stderr}"
    return done.stdout


for tool in ("dpkg-deb", "dpkg-shlibdeps"):
    if not shutil.which(tool):
        print(f"{tool} is not here (package dpkg-dev): the package was not made")
        sys.exit(77)

with tempfile.TemporaryDirectory() as work:
    run(pathlib.Path(a.cmake).parent / "cpack", "-G", "DEB", "-B", work, "--config", a.build / "CPackConfig.cmake")
    deb = next(pathlib.Path(work).glob("*.deb"))
    fields = run("dpkg-deb", "-f", deb)
    for word in ("Package: waywarden", "libgeographiclib23", "libgeos-c1v5", "Suggests: libgdal32"):
        assert word in fields, fields
    listed = run("dpkg-deb", "-c", deb)
    for path in ("usr/bin/waywarden", "usr/share/waywarden/sets/walking-core.json", "usr/share/waywarden/regions/england.json",
                 "usr/share/waywarden/parties/club-walk.json", "usr/share/waywarden/example/island.osm.pbf",
                 "usr/share/man/man1/waywarden.1", "usr/share/bash-completion/completions/waywarden",
                 "usr/share/zsh/vendor-completions/_waywarden", "usr/share/fish/vendor_completions.d/waywarden.fish",
                 "usr/share/doc/waywarden/waywarden.spdx", "usr/share/doc/waywarden/copyright",
                 "usr/share/doc/waywarden/changelog.md"):
        assert f"./{path}\n" in listed, f"{path} is not in the package:\n{listed}"
    print(f"{deb.name}: {deb.stat().st_size // 1024} KiB")

    bill = (a.build / "waywarden.spdx").read_text()
    # ldd is the other witness of what is linked.
    linked = run("ldd", a.build / "waywarden")
    for library, name in (("libgeos_c", "GEOS"), ("libGeographic", "GeographicLib"), ("libpugixml", "pugixml"),
                          ("libfmt", "fmt"), ("libz.", "zlib"), ("libbz2", "bzip2"), ("libexpat", "expat"), ("liblz4", "lz4"),
                          ("libzstd", "zstd"), ("libjemalloc", "jemalloc")):
        assert (library in linked) == (f"PackageName: {name}\n" in bill) or library in ("libzstd",), (library, linked)
    assert bill.count("PackageName:") >= 15
    missing = [line for line in bill.splitlines() if line.startswith("PackageVersion: NOASSERTION") or line == "PackageVersion: "]
    assert not missing, bill

    if (a.source / ".git").exists():
        sums = []
        for name in ("one.tar.gz", "two.tar.gz"):
            run(a.cmake, "--build", a.build, "--target", "dist")
            archive = next(a.build.glob("waywarden-*.tar.gz"))
            sums.append(hashlib.sha256(archive.read_bytes()).hexdigest())
            shutil.move(archive, pathlib.Path(work, name))
        assert sums[0] == sums[1], "two archives of one commit differ"
        inside = run("tar", "tzf", pathlib.Path(work, "one.tar.gz"))
        assert "/CMakeLists.txt" in inside and "/.git/" not in inside
        print("archive of the sources:", sums[0][:16])
