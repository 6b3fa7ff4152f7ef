"""Pictures as SVG files that need nothing but themselves: no scripts, no fonts, no network; never by colour alone."""

from offseason.share.picture.fit_hours import MOST_DAYS, fit_hours_svg
from offseason.share.picture.spread import WinterShown, spread_svg
from offseason.share.picture.winter import winter_svg

__all__ = ["MOST_DAYS", "WinterShown", "fit_hours_svg", "spread_svg", "winter_svg"]
