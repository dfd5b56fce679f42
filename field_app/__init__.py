"""A field book for natural dyers who forage their colour.

It logs what was gathered at a tree, offline and durably, and says what the load is worth as hull,
dry matter and cloth, each as a range with its reasons.
It hands the lots over in an open file that whoever plans the dye day can read without it.
"""

__all__ = ["__version__"]

__version__ = "0.1.0"
