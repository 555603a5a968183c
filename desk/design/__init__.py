"""The document: declared dimensions, the design, its edits, its file and its starting points."""
