"""Drawings of the cabinet as values: no view is drawn twice, the window, the SVG writer and tests read the same list."""
