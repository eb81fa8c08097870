"""Pictures as data: shapes in points, colours as roles. Painters (``painter_pdf``) know a toolkit; shapes do not."""

from costing.report.figures.shapes import Area, Box, Figure, Line, Measure, Role, Shape, Text, overlaps

__all__ = ["Area", "Box", "Figure", "Line", "Measure", "Role", "Shape", "Text", "overlaps"]
