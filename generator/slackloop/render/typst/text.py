"""Text on its way into Typst source."""

from slackloop.publish.print_text import breakable, literal

__all__ = ["breakable", "literal"]
