"""Text on its way into Typst source."""

from slackloop.render.typst.print_text import breakable, literal

__all__ = ["breakable", "literal"]
