"""Size-specific electrofusion procedure packs, pocket cards and a site, from facts and prose."""
__version__ = "0.1.0"
