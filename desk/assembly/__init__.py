"""How the parts go together: what stands in whose way, the order of assembly, and what comes off again by screws."""
