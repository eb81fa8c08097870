"""Reports: contents gathered once as data, then written as a workbook and as pages."""

from costing.report.content import Contents
from costing.report.gather import contents
from costing.report.write import Progress, batch_name, write_reports

__all__ = ["Contents", "Progress", "batch_name", "contents", "write_reports"]
