"""The season report: a page for phone and wall, or one side of paper; nothing in it runs."""

from gddcast.pages.report.page import report_page

__all__ = ["report_page"]
