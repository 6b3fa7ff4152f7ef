"""The plan as one page for a browser: by day, person and lot, with ticks that can be sent back; nothing is loaded."""

from offseason.share.page.frame import page_html

__all__ = ["page_html"]
