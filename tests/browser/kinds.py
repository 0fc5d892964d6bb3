"""One page of each kind of the demonstration handbook, and the sizes that they are looked at in."""

PAGES = {
    "start": "index.html",
    "section": "method/opening-the-jacket.html",
    "safety": "safety/excavation.html",
    "table": "tables/volts.html",
    "register": "tables/requirements-1.html",
    "box": "boxes/b13.html",
    "box index": "boxes-by-arm/group-1.html",
    "all boxes": "boxes-by-arm/all.html",
    "drawing": "drawings/path-diagram.html",
    "plan": "drawings/site-plan.html",
    "document": "issue/document.html",
    "findings": "issue/findings.html",
}

SIZES = {"phone": (390, 844), "desk": (1280, 900), "zoomed": (640, 450)}
"""Width and height in CSS pixels. A desk of 1,280 at 200 % zoom shows 640 (WCAG 2.2, success criterion 1.4.4)."""
