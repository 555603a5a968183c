"""The window. The only package that knows Qt; it paints drawings and edits the design through the session."""
