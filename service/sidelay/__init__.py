"""sidelay prices a printed piece on every press of a plant and says from where each wins."""

__version__ = "0.1.0"
