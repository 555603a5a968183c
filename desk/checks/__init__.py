"""The checks: each reads the cabinet and yields findings as values. Showing them is someone else's work."""
