#!/usr/bin/env python3
"""Packs what was published for each system: archives, a Debian package, notes and checksums, the same to the byte for the same files.

Usage: pack.py PUBLISHED RELEASE SECONDS: folders by runtime identifier; where to; the time that files are given, seconds since 1970 (the commit's).
"""
import gzip
import hashlib
import io
import json
import os
import re
import sys
import tarfile
import time
import xml.etree.ElementTree as xml
import zipfile

NAMES = {"linux-x64": "linux-x64", "win-x64": "windows-x64", "osx-arm64": "macos-arm64", "osx-x64": "macos-x64"}
# What a program of each system asks of the machine, for the Debian package.
DEPENDS = "libc6, libegl1, libegl-mesa0 | libegl-vendor, libgl1-mesa-dri | libgl1-nvidia-glvnd-glx"
RECOMMENDS = "libglfw3, ffmpeg, xdg-utils"


def licences(folder):
    """Texts of the licences of all parts inside, by name, out of the packages that were restored."""
    with open("src/StageView.App/obj/project.assets.json", encoding="utf-8") as file:
        assets = json.load(file)
    roots = list(assets["packageFolders"])
    parts = {key: value["path"] for key, value in assets["libraries"].items() if value["type"] == "package"}
    # The runtime is no library of the project: its packs are named by what was downloaded.
    for framework in assets["project"]["frameworks"].values():
        for pack in framework.get("downloadDependencies", []):
            name, version = pack["name"], re.search(r"\[([^,\]]+)", pack["version"]).group(1)
            parts[f"{name}/{version}"] = f"{name.lower()}/{version}"
    texts = {}
    for key, path in sorted(parts.items()):
        home = next((os.path.join(r, path) for r in roots if os.path.isdir(os.path.join(r, path))), None)
        if home is None or "analyzers" in key.lower() or "crossgen" in key.lower() or "apphost" in key.lower() or ".ref/" in key.lower():
            continue
        found = sorted(f for f in os.listdir(home) if re.match(r"(licen[cs]e|third-?party-?notices)", f, re.I))
        spec = next((f for f in os.listdir(home) if f.endswith(".nuspec")), None)
        said = ""
        if spec:
            for tag in xml.parse(os.path.join(home, spec)).iter():
                if tag.tag.rpartition("}")[2] in ("license", "copyright", "authors", "projectUrl") and tag.text:
                    said += f"{tag.tag.rpartition('}')[2]}: {tag.text.strip()}\n"
        body = said
        for name in found:
            with open(os.path.join(home, name), encoding="utf-8", errors="replace") as file:
                body += f"\n{name}\n\n" + file.read()
        texts[key.replace("/", " ") + ".txt"] = body
    with open("src/StageView.Ground/Fonts/DejaVuSans.LICENSE.txt", encoding="utf-8") as file:
        texts["DejaVu Sans 2.37.txt"] = file.read()
    os.makedirs(os.path.join(folder, "licences"), exist_ok=True)
    for name, text in texts.items():
        with open(os.path.join(folder, "licences", name), "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
    return len(texts)


def files_of(folder):
    for root, folders, names in os.walk(folder):
        folders.sort()
        for name in sorted(names):
            full = os.path.join(root, name)
            yield os.path.relpath(full, folder).replace(os.sep, "/"), full


def is_program(name):
    return os.path.basename(name) in ("stageview", "createdump")


def add(archive, name, data, mode, seconds):
    entry = tarfile.TarInfo(name)
    entry.size, entry.mtime, entry.mode = len(data), seconds, mode
    archive.addfile(entry, io.BytesIO(data))


def tar_bytes(folder, inside, seconds, more=()):
    """A gzip-packed tar of a folder; more: (name, bytes, mode) beside it."""
    packed = io.BytesIO()
    with gzip.GzipFile(fileobj=packed, mode="wb", compresslevel=9, filename="", mtime=seconds) as squeezed:
        with tarfile.open(fileobj=squeezed, mode="w", format=tarfile.GNU_FORMAT) as archive:
            seen = set()

            def folders(name):
                parts = name.split("/")[:-1]
                for i in range(1, len(parts) + 1):
                    up = "/".join(parts[:i])
                    if up not in seen and up not in (".", ""):
                        seen.add(up)
                        entry = tarfile.TarInfo(up + "/")
                        entry.type, entry.mode, entry.mtime = tarfile.DIRTYPE, 0o755, seconds
                        archive.addfile(entry)

            for name, full in files_of(folder) if folder else ():
                folders(f"{inside}/{name}")
                with open(full, "rb") as file:
                    add(archive, f"{inside}/{name}", file.read(), 0o755 if is_program(name) else 0o644, seconds)
            for name, data, mode in more:
                folders(name)
                if mode is None:
                    entry = tarfile.TarInfo(name)
                    entry.type, entry.linkname, entry.mode, entry.mtime = tarfile.SYMTYPE, data, 0o777, seconds
                    archive.addfile(entry)
                else:
                    add(archive, name, data, mode, seconds)
    return packed.getvalue()


def zip_bytes(folder, inside, seconds):
    packed = io.BytesIO()
    when = time.gmtime(max(seconds, 315532800))[:6]
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name, full in files_of(folder):
            entry = zipfile.ZipInfo(f"{inside}/{name}", when)
            entry.compress_type, entry.create_system, entry.external_attr = zipfile.ZIP_DEFLATED, 3, 0o644 << 16
            with open(full, "rb") as file:
                archive.writestr(entry, file.read())
    return packed.getvalue()


def deb_bytes(folder, version, seconds):
    size = sum(os.path.getsize(full) for _, full in files_of(folder)) // 1024
    control = (f"Package: stageview\nVersion: {version}\nArchitecture: amd64\nMaintainer: StageView <stageview@localhost>\nInstalled-Size: {size}\n"
               f"Depends: {DEPENDS}\nRecommends: {RECOMMENDS}\nSection: graphics\nPriority: optional\n"
               "Description: shows and measures what a lighting rig will do\n"
               " From a rig file and what the console sends over sACN and Art-Net: live view, pictures, illuminance, comparison.\n")
    with open("LICENSE", "rb") as file:
        copying = file.read()
    data = tar_bytes(folder, "./usr/lib/stageview", seconds,
                     [("./usr/bin/stageview", "../lib/stageview/stageview", None), ("./usr/share/doc/stageview/copyright", copying, 0o644)])
    parts = [("debian-binary", b"2.0\n"), ("control.tar.gz", tar_bytes(None, "", seconds, [("./control", control.encode(), 0o644)])), ("data.tar.gz", data)]
    out = b"!<arch>\n"
    for name, body in parts:
        out += f"{name:<16}{seconds:<12}{0:<6}{0:<6}{'100644':<8}{len(body):<10}`\n".encode() + body + (b"\n" if len(body) % 2 else b"")
    return out


def notes():
    """The newest part of the changelog."""
    with open("CHANGELOG.md", encoding="utf-8") as file:
        parts = re.split(r"(?m)^(?=## )", file.read())
    return parts[1] if len(parts) > 1 else parts[0]


def main():
    published, release, seconds = sys.argv[1], sys.argv[2], int(sys.argv[3])
    with open("Directory.Build.props", encoding="utf-8") as file:
        version = re.search(r"<Version>([^<]+)</Version>", file.read()).group(1)
    made = {}
    for rid in sorted(os.listdir(published)):
        folder = os.path.join(published, rid)
        inside = f"stageview-{version}-{NAMES[rid]}"
        for name, full in list(files_of(folder)):
            if name.endswith(".pdb"):
                os.remove(full)
        count = licences(folder)
        for name in ("LICENSE", "CHANGELOG.md"):
            with open(name, "rb") as source, open(os.path.join(folder, name), "wb") as to:
                to.write(source.read())
        if rid.startswith("win"):
            made[inside + ".zip"] = zip_bytes(folder, inside, seconds)
        else:
            made[inside + ".tar.gz"] = tar_bytes(folder, inside, seconds)
        if rid == "linux-x64":
            made[f"stageview_{version}_amd64.deb"] = deb_bytes(folder, version, seconds)
        print(f"{inside}: {count} licences", file=sys.stderr)
    made["NOTES.md"] = notes().encode()
    sums = ""
    for name, data in sorted(made.items()):
        with open(os.path.join(release, name), "wb") as file:
            file.write(data)
        sums += f"{hashlib.sha256(data).hexdigest()}  {name}\n"
        print(f"{len(data) / 1e6:8.1f} MB  {name}")
    with open(os.path.join(release, "SHA256SUMS"), "w", encoding="utf-8") as file:
        file.write(sums)


main()
