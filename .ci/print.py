"""What .ci/print needs: the attributes of its printer programs, and the comparison.

    print.py peers FOLDER                     writes attribute files for ippeveprinter -a
    print.py same [--backs-turned] [--by-spooler] FILE ARRIVED

The second compares, at 600 dots per inch, the pages of a print file with those that have
arrived, as PDF or as raster, which the filters of the spooler read. What the spooler has
drawn itself, at 300 dots, may be off by two of them and a half, and its greys are others.
"""
import os, subprocess, sys, tempfile

SIZES = ((21000, 29700), (21590, 27940), (14800, 21000), (29700, 42000))
NAMES = ("iso_a4_210x297mm", "na_letter_8.5x11in", "iso_a5_148x210mm", "iso_a3_297x420mm")


def attributes(pdf, duplex, back):
    lines = []
    def add(tag, name, *values):
        lines.append("ATTR %s %s %s" % (tag, name, ",".join(values)))
    def media(w, h):
        return ("{ MEMBER collection media-size { MEMBER integer x-dimension %d MEMBER integer y-dimension %d }" % (w, h)
                + "".join(" MEMBER integer media-%s-margin 423" % e for e in ("bottom", "left", "right", "top"))
                + " MEMBER keyword media-source main MEMBER keyword media-type stationery }")
    add("keyword", "job-creation-attributes-supported", "copies", "job-name", "media", "media-col", "output-bin", "page-delivery",
        "print-quality", "printer-resolution", "sides", *(["print-scaling"] if pdf else []))
    add("mimeMediaType", "document-format-supported", "application/octet-stream", *(["application/pdf"] if pdf else []), "image/pwg-raster", "image/urf")
    add("mimeMediaType", "document-format-default", "application/octet-stream")
    add("keyword", "media-supported", *NAMES)
    add("keyword", "media-ready", NAMES[0])
    add("keyword", "media-default", NAMES[0])
    for edge in ("bottom", "left", "right", "top"):
        add("integer", "media-%s-margin-supported" % edge, "423")
    add("collection", "media-col-default", media(21000, 29700))
    add("collection", "media-col-ready", media(21000, 29700))
    add("collection", "media-col-database", *[media(w, h) for w, h in SIZES])
    add("keyword", "media-col-supported", "media-bottom-margin", "media-left-margin", "media-right-margin", "media-top-margin", "media-size", "media-source", "media-type")
    add("collection", "media-size-supported", *["{ MEMBER integer x-dimension %d MEMBER integer y-dimension %d }" % s for s in SIZES])
    add("keyword", "media-source-supported", "auto", "main")
    add("keyword", "media-type-supported", "stationery")
    add("keyword", "output-bin-default", "face-down")
    add("keyword", "output-bin-supported", "face-down", "face-up")
    add("octetString", "printer-output-tray",
        "type=unRemovableBin;maxcapacity=100;remaining=-2;status=0;name=face-down;stackingorder=firstToLast;pagedelivery=faceDown",
        "type=unRemovableBin;maxcapacity=100;remaining=-2;status=0;name=face-up;stackingorder=lastToFirst;pagedelivery=faceUp")
    add("keyword", "page-delivery-supported", "same-order-face-down", "reverse-order-face-up")
    add("enum", "print-quality-default", "4")
    add("enum", "print-quality-supported", "3", "4", "5")
    if pdf:
        add("keyword", "print-scaling-default", "auto")
        add("keyword", "print-scaling-supported", "auto", "auto-fit", "fill", "fit", "none")
    add("resolution", "printer-resolution-default", "600dpi")
    add("resolution", "printer-resolution-supported", "300dpi", "600dpi")
    add("resolution", "pwg-raster-document-resolution-supported", "300dpi", "600dpi")
    add("keyword", "pwg-raster-document-sheet-back", back)
    add("keyword", "pwg-raster-document-type-supported", "black_1", "sgray_8", "srgb_8")
    add("keyword", "urf-supported", "CP1", "IS1-4-5-7", "MT1-2", "RS300-600", "SRGB24", "V1.4", "W8", *(["DM1"] if duplex else []))
    add("keyword", "sides-default", "one-sided")
    add("keyword", "sides-supported", "one-sided", *(["two-sided-long-edge", "two-sided-short-edge"] if duplex else []))
    add("text", "printer-make-and-model", '"Simulated %s"' % ("PDF duplex" if pdf else "Raster duplex" if duplex else "Raster simplex"))
    return "\n".join(lines) + "\n"


def pages(path):
    """The pages of a file as (width, height, rows of grey)."""
    with open(path, "rb") as f:
        is_pdf = f.read(5) == b"%PDF-"
    with tempfile.TemporaryDirectory() as folder:
        if not is_pdf:
            out = os.path.join(folder, "arrived.pdf")
            with open(out, "wb") as f:
                subprocess.run(["/usr/lib/cups/filter/rastertopdf", "1", "user", "title", "1", "", path], stdout=f, stderr=subprocess.DEVNULL,
                               check=True, env=dict(os.environ, CONTENT_TYPE="image/pwg-raster"))
            path = out
        subprocess.run(["pdftoppm", "-q", "-gray", "-r", "600", path, os.path.join(folder, "page")], check=True)
        found = []
        for name in sorted(os.listdir(folder)):
            if name.endswith(".pgm"):
                with open(os.path.join(folder, name), "rb") as f:
                    data = f.read()
                head = data.split(None, 4)
                w, h = int(head[1]), int(head[2])
                pixels = data[len(data) - w * h:]
                found.append((w, h, [pixels[y * w:(y + 1) * w] for y in range(h)]))
        return found


DARK = bytes(1 if v < 80 else 0 for v in range(256))


def ink(page):
    """The outermost dark pixels from the left, the top, the right and the bottom, and how many there are in each of 20 bands."""
    w, h, rows = page
    dark = [row.translate(DARK) for row in rows]
    marked = [y for y, row in enumerate(dark) if 1 in row]
    if not marked:
        return None, [0] * 20
    left = min(dark[y].index(1) for y in marked)
    right = max(dark[y].rindex(1) for y in marked)
    bands = [0] * 20
    for y in marked:
        bands[y * 20 // h] += dark[y].count(1)
    return (left, marked[0], right, marked[-1]), bands


def same(want, got, backs_turned, most, other):
    if len(want) != len(got):
        return "%d pages arrived, not %d" % (len(got), len(want))
    worst = farthest = 0.0
    for i, (a, b) in enumerate(zip(want, got), 1):
        if backs_turned and i % 2 == 0:
            b = (b[0], b[1], [row[::-1] for row in reversed(b[2])])
        (box, bands), (their, others) = ink(a), ink(b)
        if (box is None) != (their is None):
            return "page %d: ink on one of the two only" % i
        if box is None:
            continue
        left, top, right, bottom = ((q - p) * 25.4 / 600 for p, q in zip(box, their))
        off = max(abs(left), abs(top), abs(right), abs(bottom))
        # Where greys are drawn otherwise, all edges go out or in; what is moved goes one way.
        moved = max(abs(left + right), abs(top + bottom)) / 2
        worst, farthest = max(worst, off), max(farthest, moved)
        if moved > 0.15:
            return "page %d: moved by %.2f mm" % (i, moved)
        if off > most:
            return "page %d: the outermost ink is off by %.2f mm" % (i, off)
        for p, q in zip(bands, others):
            if abs(p - q) > 1600 + other * max(p, q):
                return "page %d: other ink: %s, not %s" % (i, others, bands)
    print("  %d pages, moved by %.2f mm at most, the outermost ink off by %.2f mm" % (len(want), farthest, worst))
    return None


if sys.argv[1] == "peers":
    for name, how in {"pdf-duplex": (True, True, "normal"), "raster-simplex": (False, False, "normal"), "raster-rotated": (False, True, "rotated")}.items():
        with open(os.path.join(sys.argv[2], name + ".conf"), "w") as f:
            f.write(attributes(*how))
else:
    rest = sys.argv[2:]
    turned = "--backs-turned" in rest
    files = [a for a in rest if not a.startswith("--")]
    wrong = same(pages(files[0]), pages(files[1]), turned, *(0.21, 0.5) if "--by-spooler" in rest else (0.15, 0.25))
    if wrong:
        print("  " + wrong)
        sys.exit(1)
