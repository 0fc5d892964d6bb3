"""One page of each kind of the demonstration handbook, and the sizes that they are looked at in."""

PAGES = {
    "start": "index.html",
    "section": "method/opening-the-jacket.html",
    "safety": "safety/excavation.html",
    "trouble": "trouble/nicked-core.html",
    "emergency": "safety/emergency-plan.html",
    "table": "tables/boxes.html",
    "register": "tables/matrix.html",
    "box": "boxes/b13.html",
    "all boxes": "boxes/all.html",
    "sections": "method/all.html",
    "sheet": "sheets/hold-points.html",
    "day": "sheets/daily.html",
    "crossings": "sheets/crossings.html",
    "path": "design/path.html",
    "document": "design/document.html",
    "findings": "design/findings.html",
    "codes": "design/codes.html",
}

KEPT = (
    "start", "section", "emergency", "table", "register", "box", "all boxes", "sheet", "crossings", "path", "findings",
    "codes",
)  # fmt: skip
"""Kinds that every run of the tests looks at; the others are made as one of these is, and ``make proofs`` has them."""

SIZES = {"phone": (390, 844), "desk": (1280, 900), "zoomed": (640, 450)}
"""Width and height in CSS pixels. A desk of 1,280 at 200 % zoom shows 640 (WCAG 2.2, success criterion 1.4.4)."""
