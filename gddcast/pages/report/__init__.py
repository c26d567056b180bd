"""The season report: one page for phone, wall and paper that fetches nothing and runs nothing."""

from gddcast.pages.report.beside import Beside
from gddcast.pages.report.page import report_page

__all__ = ["Beside", "report_page"]
