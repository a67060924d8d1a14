#!/usr/bin/env python3
"""Looks at what is printed: estimates three examples, renders the workbook and every paper with LibreOffice, and says of each
how many pages it has, which is its smallest type and which cells cut off what they say.

    python3 tests/looks/look.py [OUT]

It asks for cargo, soffice, pdfinfo and pdftohtml (poppler), and Chromium for the pages; it is no part of `cargo test`. It ends
with 1 where a limit is broken: the cabin on 24 sheets of paper (18 without its drains), no type below 7 points, no cell cut
off, no page that complains or asks for anything.
"""

import csv
import os
import pathlib
import re
import shutil
import struct
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as tree
import zipfile

HOME = pathlib.Path(__file__).resolve().parents[2]
EXAMPLES = ["lake-cabin", "guest-lodge", "orchard-house"]
MOST_PAGES = {"lake-cabin": 24, "lake-cabin, water alone": 18}
LEAST_TYPE = 7.0
# The program, or what builds and runs it.
PROGRAM = os.environ.get("COILSTICK", "cargo run --release --quiet --").split()
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
SANS = "/usr/share/fonts/truetype/liberation/LiberationSans-{}.ttf"


class Face:
    """Widths of letters of a typeface, in parts of its size; read from its file."""

    def __init__(self, path):
        data = pathlib.Path(path).read_bytes()
        tables = {}
        for at in range(struct.unpack(">H", data[4:6])[0]):
            name, _, start, length = struct.unpack(">4sIII", data[12 + 16 * at : 28 + 16 * at])
            tables[name] = data[start : start + length]
        self.unit = struct.unpack(">H", tables[b"head"][18:20])[0]
        many = struct.unpack(">H", tables[b"hhea"][34:36])[0]
        self.advance = [struct.unpack(">H", tables[b"hmtx"][4 * at : 4 * at + 2])[0] for at in range(many)]
        self.glyphs = self.letters(tables[b"cmap"])

    @staticmethod
    def letters(cmap):
        glyphs = {}
        for at in range(struct.unpack(">H", cmap[2:4])[0]):
            platform, kind, start = struct.unpack(">HHI", cmap[4 + 8 * at : 12 + 8 * at])
            if (platform, kind) != (3, 1) or struct.unpack(">H", cmap[start : start + 2])[0] != 4:
                continue
            part = cmap[start:]
            twice = struct.unpack(">H", part[6:8])[0]
            of = lambda offset: struct.unpack(f">{twice // 2}H", part[offset : offset + twice])
            last, first = of(14), of(16 + twice)
            delta, offsets = of(16 + 2 * twice), of(16 + 3 * twice)
            for n, (low, high) in enumerate(zip(first, last)):
                for code in range(low, min(high, 0xFFFE) + 1):
                    if offsets[n] == 0:
                        glyphs[code] = (code + delta[n]) & 0xFFFF
                    else:
                        place = 16 + 3 * twice + 2 * n + offsets[n] + 2 * (code - low)
                        glyph = struct.unpack(">H", part[place : place + 2])[0]
                        glyphs[code] = (glyph + delta[n]) & 0xFFFF if glyph else 0
        return glyphs

    def width(self, words, size):
        glyph = lambda letter: min(self.glyphs.get(ord(letter), 0), len(self.advance) - 1)
        return sum(self.advance[glyph(letter)] for letter in words) * size / self.unit


FACES = {False: Face(SANS.format("Regular")), True: Face(SANS.format("Bold"))}
DIGIT = FACES[False].width("0", 10)


def column_of(address):
    number = 0
    for letter in re.match(r"[A-Z]+", address).group():
        number = 26 * number + ord(letter) - 64
    return number


def styles_of(book):
    root = tree.fromstring(book.read("xl/styles.xml"))
    fonts = []
    for font in root.find(MAIN + "fonts"):
        size = font.find(MAIN + "sz")
        fonts.append((font.find(MAIN + "b") is not None, float(size.get("val")) if size is not None else 10.0))
    styles = []
    for one in root.find(MAIN + "cellXfs"):
        align = one.find(MAIN + "alignment")
        wraps = align is not None and align.get("wrapText") == "1"
        indent = int(align.get("indent", 0)) if align is not None else 0
        styles.append((fonts[int(one.get("fontId", 0))], wraps, indent))
    return styles


def texts_of(book):
    if "xl/sharedStrings.xml" not in book.namelist():
        return []
    root = tree.fromstring(book.read("xl/sharedStrings.xml"))
    return ["".join(part.text or "" for part in one.iter(MAIN + "t")) for one in root]


def lines_needed(face, size, words, room):
    """Lines that words take where they are parted at blanks."""
    lines = 0
    for paragraph in words.split("\n"):
        lines, used = lines + 1, 0.0
        for word in re.findall(r"\S+\s*", paragraph):
            wide = face.width(word.rstrip(), size)
            if used and used + wide > room:
                lines, used = lines + 1, 0.0
            used += face.width(word, size)
    return lines


def cut_off(path):
    """Cells of a workbook that show less than they say."""
    found = []
    with zipfile.ZipFile(path) as book:
        styles, texts = styles_of(book), texts_of(book)
        root = tree.fromstring(book.read("xl/workbook.xml"))
        names = [sheet.get("name") for sheet in root.find(MAIN + "sheets")]
        for number, name in enumerate(names, 1):
            sheet = tree.fromstring(book.read(f"xl/worksheets/sheet{number}.xml"))
            widths = {}
            for column in sheet.iter(MAIN + "col"):
                for at in range(int(column.get("min")), int(column.get("max")) + 1):
                    widths[at] = float(column.get("width"))
            merged = {}
            for one in sheet.iter(MAIN + "mergeCell"):
                first, last = one.get("ref").split(":")
                merged[first] = column_of(last)
            for row in sheet.iter(MAIN + "row"):
                if row.get("hidden") == "1":
                    continue
                tall = float(row.get("ht", 12.75))
                cells = list(row)
                filled = {column_of(cell.get("r")) for cell in cells if cell.find(MAIN + "v") is not None}
                for cell in cells:
                    if cell.get("t") != "s" or cell.find(MAIN + "v") is None:
                        continue
                    words = texts[int(cell.find(MAIN + "v").text)]
                    (bold, size), wraps, indent = styles[int(cell.get("s", 0))]
                    first = column_of(cell.get("r"))
                    last = merged.get(cell.get("r"), first)
                    if not wraps and last == first:
                        # What is not wrapped runs on over cells in which nothing stands.
                        while last + 1 not in filled and last - first < 90:
                            last += 1
                    room = sum(widths.get(at, 9.0) for at in range(first, last + 1)) * DIGIT - 3 - 6 * indent
                    face = FACES[bold]
                    if wraps:
                        lines = lines_needed(face, size, words, room)
                        if lines > 1 and lines * size * 1.15 > tall + 2:
                            found.append((name, cell.get("r"), words))
                    elif face.width(words, size) > room + 1:
                        found.append((name, cell.get("r"), words))
    return found


def smallest_type(pdf):
    told = subprocess.run(["pdftohtml", "-xml", "-i", "-zoom", "3", "-stdout", pdf], capture_output=True, text=True, check=True)
    # It draws three points for each.
    sizes = [int(size) / 3 for size in re.findall(r'<fontspec[^>]* size="(\d+)"', told.stdout) if int(size) > 0]
    return min(sizes, default=0.0)


def pages(pdf):
    told = subprocess.run(["pdfinfo", pdf], capture_output=True, text=True, check=True).stdout
    return int(re.search(r"Pages:\s+(\d+)", told).group(1))


def water_alone(out):
    """The cabin without its drains and vents."""
    job = out / "jobs" / "cabin-water"
    shutil.copytree(HOME / "examples", out / "jobs" / "examples", dirs_exist_ok=True)
    shutil.copytree(HOME / "price-lists", out / "jobs" / "price-lists", dirs_exist_ok=True)
    job = out / "jobs" / "examples" / "lake-cabin"
    with open(job / "runs.csv", newline="") as file:
        rows = list(csv.reader(file))
    at = rows[0].index("service")
    rows = [row for row in rows if len(row) <= at or row[at] not in ("drain", "vent")]
    with open(job / "runs.csv", "w", newline="") as file:
        csv.writer(file).writerows(rows)
    return job


def chromium(page):
    """What a browser complains of, and what a page asks for from elsewhere."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        return ["no Chromium: the pages were not looked at"]
    asked = ["--headless", "--no-sandbox", "--disable-gpu", "--enable-logging=stderr", "--v=0", "--dump-dom", page.as_uri()]
    told = subprocess.run([program, *asked], capture_output=True, text=True, timeout=120)
    lines = [line for line in told.stderr.splitlines() if "CONSOLE" in line]
    asks = re.findall(r'(?:src|href)="?([^" >]+)', told.stdout)
    return lines + [f"asks for {one}" for one in asks]


def main():
    out = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else tempfile.mkdtemp(prefix="looks-")).resolve()
    out.mkdir(parents=True, exist_ok=True)
    jobs = {name: HOME / "examples" / name for name in EXAMPLES}
    jobs["lake-cabin, water alone"] = water_alone(out)
    broken = []
    for name, job in jobs.items():
        to = out / name.replace(", ", "-").replace(" ", "-")
        command = [*PROGRAM, "estimate", str(job), "-o", str(to), "--quiet"]
        subprocess.run(command, cwd=HOME, check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        books = [to / "estimate.xlsx", *sorted((to / "papers").glob("*.xlsx"))]
        for book in books:
            convert = ["soffice", "--headless", "--convert-to", "pdf", "--outdir", str(book.parent), str(book)]
            subprocess.run(convert, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            pdf = str(book.with_suffix(".pdf"))
            many, smallest, cut = pages(pdf), smallest_type(pdf), cut_off(book)
            shown = f"{book.parent.name}/{book.name}"
            print(f"{name:26} {shown:52} {many:3} pages, type from {smallest:4.1f} points, {len(cut)} cells cut off")
            broken += [f"{name}: {shown}, {sheet}!{cell} is cut off: {words[:60]}" for sheet, cell, words in cut]
            if smallest + 0.4 < LEAST_TYPE:
                broken.append(f"{name}: {shown} has type of {smallest:.1f} points")
            if book.name == "estimate.xlsx" and many > MOST_PAGES.get(name, 1000):
                broken.append(f"{name}: {many} pages, and {MOST_PAGES[name]} are the most")
        for page in sorted((to / "papers").glob("*.html")):
            broken += [f"{name}: {page.name}: {what}" for what in chromium(page)]
    for line in broken[:200]:
        print("BROKEN", line)
    print(f"{len(broken)} broken; all of it is in {out}")
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
