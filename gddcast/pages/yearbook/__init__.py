"""The yearbook: a season to keep and to print, and the looks to pencil in for the next one."""

from gddcast.pages.yearbook.page import yearbook_page

__all__ = ["yearbook_page"]
