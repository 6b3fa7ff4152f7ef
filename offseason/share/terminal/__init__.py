"""Plans and scenarios as plain text for a terminal 80 columns wide; nothing is said by colour alone, or at all."""

from offseason.share.terminal.check import check_text
from offseason.share.terminal.show import Selection, show_text
from offseason.share.terminal.summary import summary

__all__ = ["Selection", "check_text", "show_text", "summary"]
